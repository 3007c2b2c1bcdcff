"""What the phone knows of the season at the gate: its own loads, and what other phones reported at the last pull."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from uuid import UUID

from mobile.actions.field_now import field_now
from mobile.actions.land import fields
from mobile.actions.loads_today import loads_today
from mobile.ports import Phone
from shared.status.leaf_season import in_leaf_season

SEASON_DAYS = 200
"""A town's yards on a field of which the last came longer ago are of an earlier season."""


def season_by_town(phone: Phone, enrolment: int, on: date) -> dict[UUID, Decimal]:
    """Truck yards of each town in the fields this season, of all phones as far as this one has heard."""
    sums: dict[UUID, Decimal] = {}
    for field in fields(phone, enrolment):
        for one in field_now(phone, enrolment, field.id).towns:
            if (on - one.last_on).days <= SEASON_DAYS:
                sums[one.town] = sums.get(one.town, Decimal(0)) + one.yards_yd3
    return sums


def laid_today(phone: Phone, enrolment: int, on: date) -> dict[UUID, tuple[int, Decimal]]:
    """Loads and truck yards that came to each field and part on a farm-day, of all phones likewise."""
    sums: dict[UUID, tuple[int, Decimal]] = {}
    for field in fields(phone, enrolment):
        for one in field_now(phone, enrolment, field.id).laid:
            if one.on == on and one.source == "load":
                place = one.part or field.id
                loads, yards = sums.get(place, (0, Decimal(0)))
                sums[place] = (loads + one.loads, yards + one.yards_yd3)
    return sums


def is_leaf_season(phone: Phone, enrolment: int, on: date) -> bool:
    """Whether the gate is likely to be wanted, by this phone's loads today and the loads that it has heard of."""
    if loads_today(phone, enrolment, on):
        return True
    days = {
        date.fromisoformat(str(one["on"]))
        for tree in phone.book.rows(enrolment, "standings")
        for one in tree.get("laid", ())
        if one.get("source") == "load"
    }
    return in_leaf_season(on, days)
