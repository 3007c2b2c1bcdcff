"""The book: rows, numbers, chains, receipts. It keeps what it is given and has no rules of its own."""
