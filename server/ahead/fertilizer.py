"""What each crop of the farm still calls for, field by field and year by year, and what it costs.

``farm_fertilizer`` is what the pages and the reports ask: every coming cash crop of the farm's present plan with its
need, the years summed, and the rotation as one. Entries and the plan are told apart in each (``Shift.measured``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from server.ahead.fertilizer_bags import Bags, all_of, cheapest
from server.ahead.fertilizer_history import History, dry_tons, hay_yield, measured, years_of
from server.ahead.fertilizer_rows import tables_of
from server.ahead.grounds import plans_of
from server.ahead.sketches import last_sketch, wishes_from
from server.land import reads as land
from server.status import reads as status
from shared.ahead.crops import usual_crop
from shared.ahead.fertilizer_amount import NUTRIENTS, Amount, Nutrient, exactly
from shared.ahead.fertilizer_need import CropNeed, Gap, crop_needs
from shared.ahead.fertilizer_shifts import (
    CoverStood,
    HayTaken,
    Leaves,
    Shift,
    of_cover,
    of_hay,
    of_leaves,
)
from shared.ahead.fertilizer_tables import LimeProduct, Tables
from shared.ahead.fertilizer_years import YearOfFertilizer, rotation_of, year_of
from shared.ahead.wishes import Use, Wishes
from shared.reckoning.lime_asked import LimeAsked, lime_asked
from shared.status.field_status import FieldStatus

Years = Mapping[int, Use]


@dataclass(frozen=True, slots=True)
class Bought:
    """The cheapest whole bags: ``plain`` by the table alone, ``most`` and ``least`` at the two ends of what is still
    called for. Each None where the materials typed can't bring it."""

    plain: Bags | None
    most: Bags | None
    least: Bags | None

    @property
    def saved(self) -> Amount | None:
        """Money that need not be spent, below nothing where hay took more than was given; None where not known."""
        if self.plain is None or self.most is None or self.least is None:
            return None
        ends = sorted((self.plain.cost - self.most.cost, self.plain.cost - self.least.cost))
        return Amount(*ends)


@dataclass(frozen=True, slots=True)
class LimeNeed:
    """Lime that a field's soil test asks for, tons of calcium carbonate equivalent for the field, and by product."""

    field: UUID
    name: str
    acres: float
    tested_on: date
    lab: str
    asked: LimeAsked
    spread_on: date | None

    @property
    def tons(self) -> float:
        return self.asked.tons_per_ac * self.acres

    def of(self, product: LimeProduct) -> tuple[float, float]:
        """Tons of a product for the field, and what they cost."""
        tons = product.tons(self.tons)
        return tons, tons * product.price


@dataclass(frozen=True, slots=True)
class FarmFertilizer:
    """``needs``: every coming cash crop of the plan, by year and field; ``coming`` the next of each field. ``years``
    and ``whole`` sum them. ``lime`` of each field whose newest test speaks of it. ``fields_without`` have no cash
    crop in the plan. ``fields`` are all of them by name."""

    tables: Tables
    needs: tuple[CropNeed, ...]
    years: tuple[YearOfFertilizer, ...]
    whole: YearOfFertilizer | None
    lime: tuple[LimeNeed, ...]
    fields_without: tuple[str, ...]
    fields: tuple[tuple[UUID, str], ...]

    @property
    def coming(self) -> tuple[CropNeed, ...]:
        return tuple(one for one in self.needs if not one.planned)

    def bought(self, year: YearOfFertilizer) -> Bought | None:
        """What the known crops of a year cost, each field by its own bags; None where the materials bring it not."""
        mine = [one for one in self.needs if one.known and year.first <= one.year <= year.last]
        several = [bought_for(one, self.tables) for one in mine]
        known = [one for one in several if one is not None]
        return together(known) if known and len(known) == len(several) else None

    @property
    def bought_by_year(self) -> list[tuple[YearOfFertilizer, Bought | None]]:
        return [(one, self.bought(one)) for one in self.years]


def farm_fertilizer(farm: UUID, today: date) -> FarmFertilizer:
    """Every coming cash crop of the present plan with its need, and the lime that is asked for."""
    tables, plans = tables_of(farm), plans_of(farm)
    several = histories(farm, today)
    tons, wishes = hay_yield(several, today), _wishes(farm, today)
    needs: list[CropNeed] = []
    without = []
    for one in several:
        crops = coming_crops(one, plans.get(one.field, {}), today)
        without += [] if crops else [one.name]
        years = plans.get(one.field, {})
        for place, (year, crop, planted) in enumerate(crops):
            needs.append(
                crop_need(one, crop, year, planted, tables, today, Planned(years, tons, wishes), place > 0)
            )
    needs.sort(key=lambda one: (one.year, one.name))
    numbers = sorted({one.year for one in needs})
    lime = [found for one in several if (found := lime_of(one, today, tables, needs)) is not None]
    return FarmFertilizer(
        tables,
        tuple(needs),
        tuple(year_of(year, needs) for year in numbers),
        rotation_of(needs),
        tuple(lime),
        tuple(without),
        tuple((one.field, one.name) for one in several),
    )


def wondered(farm: UUID, field: str, crop: str, today: date) -> CropNeed | None:
    """The need of any crop of the table in any field, planted in its usual days from now; None for no such field."""
    history = next((one for one in histories(farm, today) if str(one.field) == field), None)
    if history is None:
        return None
    usual = usual_crop(crop)
    year = today.year if usual.planted(today.year) >= today else today.year + 1
    planned = Planned(plans_of(farm).get(history.field, {}), None, Wishes(today.year + 1, ()))
    return crop_need(history, crop, year, usual.planted(year), tables_of(farm), today, planned, False)


def histories(farm: UUID, today: date) -> list[History]:
    """The farm's fields by name, each with what the book says of it."""
    stands, years = status.standings(farm), years_of(farm, today)
    out = []
    for field in land.fields(farm):
        if field.lease_end is not None and field.lease_end < today:
            continue
        tree = stands.get(field.id)
        held = FieldStatus.from_tree(tree) if tree else FieldStatus(field.id)
        mine = tuple(years.get(field.id, ()))
        out.append(History(field.id, field.name, float(field.area_ac or 0.0), held, mine))
    return out


def _wishes(farm: UUID, today: date) -> Wishes:
    last = last_sketch(farm)
    return wishes_from(last.wishes) if last is not None else Wishes(today.year + 1, ())


def coming_crops(history: History, years: Years, today: date) -> list[tuple[int, str, date]]:
    """(year, crop, day it goes in) of the crop that stands and of each that the plan has still to come."""
    out = []
    leg = history.status.leg_on(today)
    if leg is not None and leg.leg == "cash" and leg.crop:
        year = leg.starts_on.year + (leg.starts_on.month >= 9)
        if usual_crop(leg.crop).lifted(year) >= today:
            out.append((year, leg.crop, leg.starts_on))
    standing = {year for year, _, _ in out}
    for year, (name, crop) in sorted(years.items()):
        if name == "cash" and crop and year not in standing and usual_crop(crop).lifted(year) >= today:
            out.append((year, crop, usual_crop(crop).planted(year)))
    return sorted(out)


@dataclass(frozen=True, slots=True)
class Planned:
    """What the plan makes of a field: its years, tons of hay that the farm bales from an acre, the wishes."""

    years: Years
    hay_tons: float | None
    wishes: Wishes


def crop_need(
    history: History,
    crop: str,
    year: int,
    planted: date,
    tables: Tables,
    today: date,
    planned: Planned,
    later: bool,
) -> CropNeed:
    """A crop's need by entries up to today and by the plan from then on."""
    answer = history.answer(min(planted, today))
    shifts, gaps = measured(history, planted, answer, today)
    more, lacking = modelled(planned, planted, today, answer.on if answer else None)
    shifts += more
    gaps += lacking
    needs = crop_needs(crop, answer, shifts, tables, today)
    if not history.acres:
        gaps.append(Gap("no_acres"))
    told = [one.gap for one in needs.values() if one.gap is not None]
    tied = any(one.why == "fertilizer.shift.leaves_n_first" for one in shifts)
    return CropNeed(
        history.field, history.name, history.acres, crop, year, planted, answer, needs,
        tuple(dict.fromkeys((*told, *gaps))), tied, later,
    )  # fmt: skip


def modelled(
    planned: Planned, planted: date, today: date, sampled: date | None
) -> tuple[list[Shift], list[Gap]]:
    """What the plan's years between today and a crop would do: hay as the farm bales it, leaves at the depth wished
    for, the lead-in before the crop. Each is a guess of the plan, and is marked so."""
    shifts: list[Shift] = []
    gaps: list[Gap] = []
    for year, (leg, cover) in sorted(planned.years.items()):
        if leg == "hay" and today < date(year, 7, 1) < planted:
            if planned.hay_tons is None:
                gaps.append(Gap("no_hay_yield"))
            else:
                taken = HayTaken(exactly(planned.hay_tons), date(year, 7, 1), measured=False)
                shifts += of_hay(taken, sampled)
        tons = dry_tons(planned.wishes.yards_per_ac) if leg == "leaf" else None
        on = date(year, 11, 15)
        if tons is not None and today < on < planted:
            since = any(
                planned.years.get(one, ("leaf", ""))[0] != "leaf" for one in range(year + 1, planted.year)
            )
            shifts += of_leaves(Leaves(tons, on, since, measured=False), planted, sampled)
        if leg == "lead_in" and cover and year == planted.year - 1 and date(year, 9, 15) > today:
            shifts += of_cover(CoverStood(cover, date(year, 9, 15), measured=False))
    return shifts, list(dict.fromkeys(gaps))


def lime_of(history: History, today: date, tables: Tables, needs: Sequence[CropNeed]) -> LimeNeed | None:
    """What the newest soil test asks for in lime, by the pH that the table gives the next crop; None where it says
    nothing of it, or is too old."""
    answer = history.answer(today)
    if answer is None or answer.old(today):
        return None
    crop = next((one.crop for one in needs if one.field == history.field), "")
    target = tables.rate(crop, "pH")
    asked = lime_asked(answer.method, answer.values, target.amount if target else None)
    if asked is None:
        return None
    spread = history.status.last_done("lime")
    on = spread.on if spread is not None and spread.on >= answer.on else None
    return LimeNeed(history.field, history.name, history.acres, answer.on, answer.lab, asked, on)


def bought(
    plain: Mapping[Nutrient, float],
    need: Mapping[Nutrient, Amount],
    tables: Tables,
    never: Sequence[Nutrient] = (),
) -> Bought | None:
    """The cheapest bags for so many lb, None where no materials were typed."""
    if not tables.materials:
        return None
    ends = ({one: need[one].high for one in NUTRIENTS}, {one: need[one].low for one in NUTRIENTS})
    by_table, most, least = (cheapest(one, tables.materials, never) for one in (plain, *ends))
    return Bought(by_table, most, least)


def together(several: Sequence[Bought]) -> Bought:
    """Several fields' bags as one; an end that one of them can't be brought to is None."""
    ends = zip(*((one.plain, one.most, one.least) for one in several), strict=True)
    plain, most, least = (all_of(one) for one in ends)
    return Bought(plain, most, least)


def bought_for(need: CropNeed, tables: Tables) -> Bought | None:
    """The bags of one crop in one field, where every nutrient's need is known."""
    if not need.known or not need.acres:
        return None
    plain = {one: need.plain_of_field(one) or 0.0 for one in NUTRIENTS}
    still = {one: amount for one in NUTRIENTS if (amount := need.of_field(one)) is not None}
    never = [one for one in NUTRIENTS if need.nutrients[one].enough]
    return bought(plain, still, tables, never)
