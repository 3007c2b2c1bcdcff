"""Books for the storage's tests."""

from __future__ import annotations

from pathlib import Path
from uuid import UUID

from mobile.ports import NewLine
from mobile.replies import Link
from mobile.storage import PhoneBook
from shared.wire.pull import Joined
from shared.wire.scalars import moment
from shared.words.farm import Farm
from shared.words.person import Person

AT = moment("2026-05-12T07:30:00-04:00", "")


def joined(farm: int = 1, phone: int = 1) -> Joined:
    person = Person(UUID(int=50 + farm), "Orla Penhallow", "OP", "owner", "en")
    return Joined(
        UUID(int=1000 * farm + phone),
        f"token-{farm}-{phone}",
        Farm(UUID(int=farm), "Harrow End", "UTC"),
        (person,),
        AT,
    )


def a_book(folder: Path, book: PhoneBook | None = None, farm: int = 1) -> tuple[PhoneBook, int]:
    """A book with one farm joined."""
    opened = book or PhoneBook(folder / "phone.sqlite")
    told = joined(farm)
    return opened, opened.enrol(told, Link("http://127.0.0.1:9", told.token)).id


def new_line(n: int, made_s: int = 1_778_585_400, size: int = 300) -> NewLine:
    raw = f'{{"n":{n},"text":"{"x" * size}"}}'.encode()
    return NewLine(UUID(int=n), "note", None, None, made_s, raw)
