"""What the files of a server are called, in its data folder and in each backup of it."""

BOOK = "book.sqlite3"
KEY = "server.key"
