"""The next jobs of a farm, day by day, from its dues, its ground and what was put off lately."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID

from server.book import reads as book
from server.land import reads as land
from server.status import reads as status
from shared.ahead import day_stops
from shared.ahead.day_order import Day, Stop, day_order
from shared.status.field_status import FieldStatus
from shared.words.bodies.told import PutOff

PUT_OFF_DAYS = 2


def stops_of(farm: UUID) -> dict[UUID, Stop]:
    """The farm's fields as a day's order needs them."""
    stands = {field: FieldStatus.from_tree(tree) for field, tree in status.standings(farm).items()}
    return day_stops.stops_of(land.fields(farm), stands)


def days_of(farm: UUID, today: date, count: int) -> list[Day]:
    """The jobs of tomorrow and of the days after it: what is placed on a day is not looked at again on the next."""
    dues, stops = status.dues(farm), stops_of(farm)
    put_off = lately_put_off(farm, today)
    out, done = [], set[str]()
    for ahead in range(1, count + 1):
        on = today + timedelta(days=ahead)
        left = [one for one in dues if one.id not in done]
        day = day_order(left, stops, on, put_off if ahead == 1 else {})
        out.append(day)
        done |= {one.due.id for one in day.jobs} | {one.id for one in day.desk}
    return out


def lately_put_off(farm: UUID, today: date) -> dict[str, str]:
    """Dues that somebody said could not be done, in the last days."""
    out = {}
    for written in book.all_written(book.of_kinds(farm, ["put_off"])):
        body, made = written.entry.body, written.entry.made_at.utc
        if isinstance(body, PutOff) and made is not None and (today - made.date()).days < PUT_OFF_DAYS:
            out[body.due] = body.why
    return out
