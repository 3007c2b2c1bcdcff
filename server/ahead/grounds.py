"""The fields as a plan finds them: what was grown on every part, what stands, leases, waits, the present plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from uuid import UUID

from server.book import reads as book
from server.land import reads as land
from server.status import reads as status
from shared.ahead.crops import crop_year, family_of, usual_crop
from shared.ahead.wishes import Ground, Use
from shared.reckoning.rotation import DISEASES, Grown
from shared.status.field_status import FieldStatus
from shared.words.bodies.desk import Plan
from shared.words.field import Field
from shared.words.leg import Leg

YEAR_IS_MADE = 10
"""From October on a field's leg is what it ends the year in."""
Pinned = Mapping[str, Mapping[int, Use]]


def grounds_of(farm: UUID, today: date, pinned: Pinned | None = None) -> tuple[Ground, ...]:
    """Every drawn field by name. A field without acres can't be planned and is left out."""
    stands = status.standings(farm)
    plans = plans_of(farm)
    out = []
    for one in land.fields(farm):
        if one.area_ac and not (one.lease_end and one.lease_end.year <= today.year):
            tree = stands.get(one.id)
            held = FieldStatus.from_tree(tree) if tree else FieldStatus(one.id)
            out.append(_ground(one, held, plans.get(one.id, {}), today, (pinned or {}).get(str(one.id), {})))
    return tuple(out)


def plans_of(farm: UUID) -> dict[UUID, dict[int, Use]]:
    """The farm's present plan: the last one written for each field."""
    out: dict[UUID, dict[int, Use]] = {}
    for written in book.all_written(book.of_kinds(farm, ["plan"])):
        body = written.entry.body
        if isinstance(body, Plan) and written.entry.field is not None:
            out[written.entry.field] = {year: (leg, crop) for year, leg, crop in body.years}
    return out


def _ground(
    field: Field, stands: FieldStatus, present: Mapping[int, Use], today: date, pinned: Mapping[int, Use]
) -> Ground:
    grown = tuple(sorted(_grown(field, stands, today), key=lambda one: (one.harvested, one.part)))
    known = {one: one for one in DISEASES}
    ill = [
        (one.name or "").strip().lower().replace(" ", "_") for one in stands.events if one.what == "disease"
    ]
    return Ground(
        str(field.id),
        field.name,
        float(field.area_ac or 0.0),
        _before(stands, grown, present, today),
        grown,
        _standing(stands, today),
        field.organic_from,
        field.lease_end,
        stands.plantback.until if stands.plantback and stands.plantback.until > today else None,
        tuple(sorted({known[one] for one in ill if one in known})),
        {year: use for year, use in present.items() if year > today.year},
        pinned,
    )


def _grown(field: Field, stands: FieldStatus, today: date) -> Iterable[Grown]:
    """The cash crops that were harvested by today, on the field and on its parts."""
    own = [("", stands.legs), *((str(part), legs) for part, legs in stands.part_legs.items())]
    for part, legs in own:
        for crop, harvested in cash_harvests(legs, today):
            yield Grown(part, family_of(crop), harvested, float(field.area_ac or 0.0))


def cash_harvests(legs: Sequence[Leg], today: date) -> list[tuple[str, date]]:
    """The cash legs that are over, or in their crop year, with the last day of each."""
    out = []
    for place, leg in enumerate(legs):
        if leg.leg != "cash":
            continue
        after = legs[place + 1].starts_on - timedelta(days=1) if place + 1 < len(legs) else None
        ended = after or usual_crop(leg.crop or "").lifted(crop_year(leg))
        if ended <= today or (after is None and crop_year(leg) == today.year):
            out.append((leg.crop or "", min(ended, today)))
    return out


def _standing(stands: FieldStatus, today: date) -> str:
    """A crop that is in the ground for next year."""
    leg = stands.leg_on(today)
    if leg is not None and leg.leg == "cash" and crop_year(leg) == today.year + 1:
        return leg.crop or ""
    return ""


def _before(stands: FieldStatus, grown: Sequence[Grown], present: Mapping[int, Use], today: date) -> Use:
    """What the field has this year: a harvest, else the leg that it ends the year in, as far as that is known."""
    if any(one.harvested.year == today.year for one in grown):
        return ("cash", "")
    if today.month < YEAR_IS_MADE and today.year in present:
        return present[today.year]
    leg = stands.leg_on(today)
    return (leg.leg, "") if leg is not None else ("idle", "")
