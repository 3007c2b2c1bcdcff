"""What somebody filled into a form, read field by field; what can't be used is told at its field and stays there."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any
from uuid import UUID

from django.http import QueryDict

MOST_TEXT = 200
MOST_WORDS = 4_000


class Given:
    """A form's fields by name. ``wrong`` is, by field, the key of ``pages.wrong`` that says why; its facts beside."""

    def __init__(self, form: QueryDict) -> None:
        self.form = form
        self.wrong: dict[str, tuple[str, dict[str, Any]]] = {}

    def __bool__(self) -> bool:
        """Whether everything could be used."""
        return not self.wrong

    def raw(self, name: str) -> str:
        return (self.form.get(name) or "").strip()

    def text(self, name: str, needed: bool = True, most: int = MOST_TEXT) -> str:
        value = self.raw(name)
        if not value and needed:
            self.fault(name, "missing")
        if len(value) > most:
            self.fault(name, "too_long", most=most)
        if "\x00" in value:
            self.fault(name, "unreadable")
        return value

    def choice(self, name: str, choices: Collection[str], needed: bool = True) -> str:
        value = self.raw(name)
        if not value and not needed:
            return ""
        if value not in choices:
            self.fault(name, "choice")
        return value

    def decimal(self, name: str, low: str, high: str, needed: bool = True) -> Decimal | None:
        """A figure as it was typed, from ``low`` to ``high``; a comma before three figures sets thousands off."""
        value = self.raw(name).replace(",", "")
        if not value:
            if needed:
                self.fault(name, "missing")
            return None
        try:
            number = Decimal(value) if value.isascii() and "_" not in value else None
        except InvalidOperation:
            number = None
        if number is None or not number.is_finite():
            self.fault(name, "number")
            return None
        if not Decimal(low) <= number <= Decimal(high):
            self.fault(name, "range", low=Decimal(low), high=Decimal(high))
            return None
        return number

    def day(self, name: str, needed: bool = True) -> date | None:
        value = self.raw(name)
        if not value:
            if needed:
                self.fault(name, "missing")
            return None
        try:
            return date.fromisoformat(value)
        except ValueError:
            self.fault(name, "day")
            return None

    def id(self, name: str, among: Collection[UUID], needed: bool = True) -> UUID | None:
        value = self.raw(name)
        if not value and not needed:
            return None
        try:
            found = UUID(value)
        except ValueError:
            found = None
        if found not in among:
            self.fault(name, "choice")
            return None
        return found

    def ticked(self, name: str) -> bool:
        return self.form.get(name) == "on"

    def turn(self) -> int:
        """At which turn the row was that the form was made from."""
        text = self.raw("turn")
        return int(text) if text.isdecimal() else -1

    def fault(self, name: str, key: str, **facts: Any) -> None:
        self.wrong.setdefault(name, (key, facts))
