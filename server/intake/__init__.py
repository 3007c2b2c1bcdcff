"""The only way into the book, for phones and for the desk."""
