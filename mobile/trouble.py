"""What can go wrong on the phone, one class for each cause that a screen answers in its own way.

The sentences are ``trouble.<code>`` in the languages.
"""

from __future__ import annotations

from uuid import UUID

from shared.errors import GoodgroundError


class BookTrouble(GoodgroundError):
    """The phone's storage could not do it. Nothing of what was asked was stored."""

    code = "book_trouble"


class DiskFull(BookTrouble):
    """No room, even with the ballast freed: what is on the screen is not saved."""

    code = "disk_full"


class DiskFailed(BookTrouble):
    """The disk could not be read or written."""

    code = "disk_failed"

    def __init__(self, detail: str) -> None:
        self.detail = detail
        super().__init__(detail)


class BookLocked(BookTrouble):
    """Something else held the storage for too long. Trying again is right."""

    code = "book_locked"


class BookDamaged(BookTrouble):
    """The storage does not read as one. It is left as it is for a hand."""

    code = "book_damaged"

    def __init__(self, detail: str) -> None:
        self.detail = detail
        super().__init__(detail)


class BookNewer(BookTrouble):
    """A newer app wrote this storage."""

    code = "book_newer"

    def __init__(self, has: int, knows: int) -> None:
        self.has = has
        self.knows = knows
        super().__init__(has, knows)


class LineGone(BookTrouble):
    """A line that must be handed in again was dropped long ago, as it stood in a backup."""

    code = "line_gone"

    def __init__(self, line: int) -> None:
        self.line = line
        super().__init__(line)


class NotJoined(GoodgroundError):
    """This phone is in no farm yet."""

    code = "not_joined"


class NobodyChosen(GoodgroundError):
    """Nobody has said with four digits who is writing."""

    code = "nobody_chosen"


class Unbelievable(GoodgroundError):
    """A figure outside the span in which it can be believed. ``key`` is the figure's. Nothing was stored."""

    code = "unbelievable"

    def __init__(self, key: str, value: object, low: object, high: object, unit: str) -> None:
        self.key = key
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit
        super().__init__(key, value, low, high, unit)


class TooLongToSave(GoodgroundError):
    """More words than one entry holds: shorten it, or write two. Nothing was stored."""

    code = "too_long_to_save"

    def __init__(self, size: int, most: int) -> None:
        self.size = size
        self.most = most
        super().__init__(size, most)


class BadSlip(GoodgroundError):
    """What was typed is no joining slip's code or no server's address. ``why`` is a key of the languages."""

    code = "bad_slip"

    def __init__(self, why: str, text: str) -> None:
        self.why = why
        self.text = text
        super().__init__(why, text)


class JoinRefused(GoodgroundError):
    """The server would not let this phone in, or could not be reached: ``why`` is a key of the languages."""

    code = "join_refused"

    def __init__(self, why: str, retry_after_s: float | None = None) -> None:
        self.why = why
        self.retry_after_s = retry_after_s
        super().__init__(why, retry_after_s)


class UndoTooLate(GoodgroundError):
    """The ten seconds are over; it can still be struck with a reason."""

    code = "undo_too_late"


class NoSuchEntry(GoodgroundError):
    """This phone has no entry of this id."""

    code = "no_such_entry"

    def __init__(self, id: UUID) -> None:
        self.id = id
        super().__init__(id)


class NoRound(GoodgroundError):
    """No round is in progress here."""

    code = "no_round"


class NothingWaits(GoodgroundError):
    """There is nothing to write into a carry file: all is handed in."""

    code = "nothing_waits"


class PhotoTrouble(GoodgroundError):
    """A picture that can't be kept. Nothing was stored; the entry can be saved without it."""

    code = "photo_trouble"


class PhotoTooLarge(PhotoTrouble):
    code = "photo_too_large"

    def __init__(self, size: int, most: int) -> None:
        self.size = size
        self.most = most
        super().__init__(size, most)


class PhotoNotPicture(PhotoTrouble):
    """Neither JPEG nor PNG nor WebP by what is in it."""

    code = "photo_not_picture"
