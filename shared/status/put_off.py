"""Dues that somebody put off for the day: it was wet, something was broken."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from zoneinfo import ZoneInfo

from shared.status.fact import Fact
from shared.words.bodies.told import PutOff
from shared.words.due import Due


def not_put_off(dues: Iterable[Due], facts: Iterable[Fact], on: date, zone: ZoneInfo) -> tuple[Due, ...]:
    """The dues that nobody put off on this farm-day, in their order. One that was put off stands again on the next:
    its days do not move by it."""
    off = {
        one.body.due
        for one in facts
        if isinstance(one.body, PutOff) and not one.struck and one.day(zone) == on
    }
    return tuple(one for one in dues if one.id not in off)
