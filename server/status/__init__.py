"""Projections of the book: how each field stands, what is due, what the desk said of entries."""
