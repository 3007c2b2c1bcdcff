"""The forecasts that dues are made with: mowing and boot, the first hay cut, the soil's warmth, the first frost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from uuid import UUID

from server.ahead.foreseeing import of_field, smothered
from server.ahead.haying import first_cut, grass_of
from server.ahead.heat import Heat, heat_of
from server.status.models import FieldYear
from shared.status.field_status import FieldStatus
from shared.status.field_year import FieldYear as YearValue
from shared.status.needs.asked import Forecast, Foresight

CUT = "cut_hay"


def of_fields(farm: UUID, today: date, stands: Sequence[FieldStatus]) -> Mapping[UUID, Foresight]:
    """What is foreseen of each of these fields; one of which nothing is, is left out."""
    smother = [one for one in stands if smothered(one, today) is not None]
    waits = [one for one in stands if _waits_for_seed(one, today)]
    out: dict[UUID, Foresight] = {}
    if smother or waits:
        heat = heat_of(farm)
        out |= {one.field: _of_cover(one, heat, today) for one in smother}
        seeding = Foresight(soil=heat.soil(today), frost_on=heat.frost_on(today))
        out |= {one.field: seeding for one in waits}
    return out | _of_hay(farm, today, stands)


def _of_cover(stands: FieldStatus, heat: Heat, today: date) -> Foresight:
    found = of_field("", stands, heat, today)
    if found is None:
        return Foresight()
    early, middle = found.early, found.middle
    mow = Forecast(early, middle, found.late) if early is not None and middle is not None else None
    return Foresight(mow=mow, boot=found.boot)


def _waits_for_seed(stands: FieldStatus, today: date) -> bool:
    leg = stands.leg_on(today)
    return leg is not None and leg.leg in ("leaf", "idle")


def _of_hay(farm: UUID, today: date, stands: Iterable[FieldStatus]) -> dict[UUID, Foresight]:
    grasses = {one.field: grass for one in stands if (grass := _grass_to_cut(one, today)) is not None}
    if not grasses:
        return {}
    cuts: dict[UUID, list[date]] = {}
    for row in FieldYear.objects.filter(farm_id=farm, field__in=grasses, year__lt=today.year):
        days = [one.on for one in YearValue.from_tree(row.gathered).jobs if one.job == CUT]
        cuts.setdefault(row.field, []).extend([min(days)] if days else [])
    return {
        field: Foresight(hay=first_cut(grass, cuts.get(field, ()), today.year))
        for field, grass in grasses.items()
    }


def _grass_to_cut(stands: FieldStatus, today: date) -> str | None:
    """The grass of a hay field that was not cut this year yet, in the time of its first cut."""
    leg, cut = stands.leg_on(today), stands.last_done(CUT)
    if leg is None or leg.leg != "hay" or (cut is not None and cut.on.year == today.year):
        return None
    return grass_of(leg.crop, today)
