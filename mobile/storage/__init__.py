"""The phone's own book on SQLite: every save one durable commit, every start the same book."""

from mobile.storage.phone_book import PhoneBook

__all__ = ["PhoneBook"]
