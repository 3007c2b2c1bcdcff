"""Today's jobs in the order to drive them, from what this phone has pulled and what was put off on it."""

from __future__ import annotations

from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo

from mobile.actions.field_now import field_now
from mobile.actions.land import dues, fields
from mobile.actions.loads_today import facts_of_day
from mobile.ports import Phone
from shared.ahead.day_order import Day, day_order
from shared.ahead.day_stops import stops_of
from shared.status.put_off import not_put_off


def jobs_of(phone: Phone, enrolment: int, person: UUID | None, on: date) -> Day:
    """The same order as the desk's, and why not what is left out. What is put to somebody else for the day is
    neither."""
    zone = ZoneInfo(phone.book.enrolment(enrolment).farm.zone)
    known = [one for one in dues(phone, enrolment) if one.person in (None, person) or one.on != on]
    still = {one.id for one in not_put_off(known, facts_of_day(phone, enrolment, on), on, zone)}
    off = {one.id: "" for one in known if one.id not in still}
    drawn = fields(phone, enrolment)
    stops = stops_of(drawn, {one.id: field_now(phone, enrolment, one.id) for one in drawn})
    return day_order(known, stops, on, off)
