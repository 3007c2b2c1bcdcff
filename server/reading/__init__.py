"""The evening reading: the day as a spread, initials, queries, what is held, each mark itself an entry."""
