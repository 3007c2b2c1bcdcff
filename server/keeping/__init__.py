"""Keeping the book safe: photos that are missing, backups, restores."""
