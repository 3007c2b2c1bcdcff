"""The rule sheets that the farm chose, as this phone has them. A module of its own: the first screen needs no rule."""

from __future__ import annotations

from mobile.ports import Phone
from shared.errors import GoodgroundError
from shared.rules import own_sheet, sheet
from shared.rules.sheet import Sheet


def sheets_chosen(phone: Phone, enrolment: int) -> tuple[Sheet, ...]:
    """The rule sheets in force. One that this app does not know is left out: the server judges by it."""
    found: list[Sheet] = []
    for row in phone.book.values(enrolment, "sheets"):
        if row.in_force:
            try:
                found.append(
                    sheet(row.sheet) if row.text is None else own_sheet(row.text, f"{row.sheet}.toml")
                )
            except GoodgroundError:
                continue
    return tuple(found)
