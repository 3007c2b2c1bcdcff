"""The loads that this phone has written on one farm-day, as they stand."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

from mobile.actions.own import as_written, hands
from mobile.ports import OwnLine, Phone
from shared.status.fact import Fact
from shared.status.standing import standing

PAGE = 100


def loads_of_day(phone: Phone, enrolment: int, on: date) -> tuple[Fact, ...]:
    """Loads of a farm-day in the order they were written, turned back ones too, struck ones not."""
    return tuple(one for one in facts_of_day(phone, enrolment, on) if one.kind == "load")


def facts_of_day(phone: Phone, enrolment: int, on: date) -> tuple[Fact, ...]:
    """All that this phone has written on one farm-day, as it stands, struck ones not."""
    return phone.book.worked_out(("day", enrolment, on), lambda: _worked_out(phone, enrolment, on))


def _worked_out(phone: Phone, enrolment: int, on: date) -> tuple[Fact, ...]:
    who = phone.book.enrolment(enrolment)
    zone = ZoneInfo(who.farm.zone)
    written = [as_written(who, line) for line in _lines_since(phone, enrolment, on, zone)]
    facts = standing(written, hands(phone, enrolment)).in_force
    return tuple(one for one in facts if one.day(zone) == on)


def loads_today(phone: Phone, enrolment: int, on: date) -> int:
    """How many loads of this phone stand on a farm-day."""
    return len(loads_of_day(phone, enrolment, on))


def _lines_since(phone: Phone, enrolment: int, on: date, zone: ZoneInfo) -> list[OwnLine]:
    """Own entries back to the first that was written before the day."""
    found: list[OwnLine] = []
    before: int | None = None
    while page := phone.book.written(enrolment, before, PAGE):
        for line in page:
            made = line.entry.made_at.day(zone)
            if made is not None and made < on:
                return found
            found.append(line)
        before = page[-1].place
    return found
