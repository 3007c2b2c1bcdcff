"""What the plan's pages show and take: ribbons of a plan, wishes in words, the form's figures."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from server.ahead.planner import Proposal
from server.ahead.sketches import YARDS_AN_INCH
from server.land import reads as land
from server.web.desk import Desk
from server.web.given import Given
from server.web.ribbons import Scale, Span, ribbon
from shared.ahead.crops import Crop, usual_crop
from shared.ahead.plan_check import Breach
from shared.ahead.wishes import Ground, Plan, Use, Wishes
from shared.languages import say
from shared.reckoning.rotation import DISEASES
from shared.words.leg import LEGS

MOST_CROPS = 12
YEARS_BACK = 1
YEARS = 12


@dataclass(frozen=True, slots=True)
class PlanLine:
    """A field's years as a ribbon; ``moved`` is how many of them are other than in the farm's plan."""

    ground: Ground
    spans: list[Span]
    scale: Scale
    moved: int


@dataclass(frozen=True, slots=True)
class Sums:
    """A plan as one line beside the others: the least and the most of its years, and what adds up over them."""

    plan: Proposal
    cash: tuple[float, float]
    off: float
    yards: tuple[float, float]
    missed: float
    hay: tuple[float, float]
    changed: float


def side_by_side(plan: Proposal) -> Sums:
    years = plan.years
    cash, yards = [one.cash_ac for one in years], [one.yards for one in years]
    hay = [one.hay_ac for one in years]
    return Sums(
        plan,
        (min(cash), max(cash)),
        max((one.gap_ac for one in years), key=abs),
        (min(yards), max(yards)),
        sum(one.missed_leaf_ac for one in years),
        (min(hay), max(hay)),
        sum(one.changed_ac for one in years),
    )


def plan_scale(today: date) -> Scale:
    """This year, the one before it and the ten to come."""
    first = today.year - YEARS_BACK
    return Scale(date(first, 1, 1), date(first + YEARS, 1, 1), today)


def plan_lines(desk: Desk, grounds: Iterable[Ground], plan: Plan) -> list[PlanLine]:
    legs, on = land.legs(desk.farm.id), plan_scale(desk.today)
    out = []
    for one in grounds:
        if one.id not in plan:
            continue
        years = [(year, *use) for year, use in sorted(plan[one.id].items())]
        moved = sum(
            _plain(one.present.get(year)) not in (None, _plain(use)) for year, use in plan[one.id].items()
        )
        out.append(PlanLine(one, ribbon(legs.get(UUID(one.id), []), years, on), on, moved))
    return out


def present_lines(
    desk: Desk, grounds: Sequence[Ground], present: Mapping[UUID, Mapping[int, Use]]
) -> list[PlanLine]:
    return plan_lines(desk, grounds, {one.id: present.get(UUID(one.id), {}) for one in grounds})


def _plain(use: Use | None) -> Use | None:
    return None if use is None else (use[0], use[1] if use[0] == "cash" else "")


def wish_words(desk: Desk, grounds: Iterable[Ground], wishes: Iterable[str]) -> list[str]:
    """Wishes by their keys, each in words."""
    names = {one.id: one.name for one in grounds}
    return [_wish_word(desk.language, names, one) for one in wishes]


def broken_words(desk: Desk, grounds: Sequence[Ground], found: Iterable[Breach]) -> list[str]:
    """What breaks the wishes, a line for each wish and field with its years."""
    names = {one.id: one.name for one in grounds}
    years: dict[tuple[str, str], list[str]] = {}
    for one in found:
        years.setdefault((one.wish, one.field), []).append(str(one.year))
    return [_broken_word(desk.language, names, wish, field, told) for (wish, field), told in years.items()]


def _broken_word(language: str, names: Mapping[str, str], wish: str, field: str, years: Sequence[str]) -> str:
    key = "ahead.broken_at" if field in names else "ahead.broken"
    told = _wish_word(language, names, wish)
    return say(language, key, wish=told, field=names.get(field, ""), year=", ".join(years))


def _wish_word(language: str, names: Mapping[str, str], wish: str) -> str:
    kind, _, rest = wish.partition(":")
    facts: dict[str, object] = {}
    if kind == "interval":
        facts = {"disease": say(language, f"ahead.disease.{rest}")}
    if kind == "pin":
        field, _, year = rest.partition(":")
        facts = {"field": names.get(field, ""), "year": year}
    return say(language, f"ahead.wish.{kind}", **facts)


def asked_for(given: Given, before: Wishes, first: int) -> Wishes | None:
    """The wishes as they were filled in, None where something could not be used."""
    figures = {
        "share_pct": given.decimal("share_pct", "0", "100"),
        "within_pct": given.decimal("within_pct", "0", "100"),
        "hay_ac": given.decimal("hay_ac", "0", "100000", needed=False),
        "depth_in": given.decimal("depth_in", "0.5", "24"),
    }
    rest, stay = given.decimal("rest_years", "0", "20"), given.decimal("hay_least", "1", "9")
    yards = given.decimal("yards", "0", "10000000", needed=False)
    organic = given.decimal("organic_yards", "0", "10000000", needed=False)
    crops = crops_asked(given)
    if not given or rest is None or stay is None:
        return None
    plain = {name: float(value or 0) for name, value in figures.items()}
    return Wishes(
        first,
        crops,
        share_pct=plain["share_pct"],
        within_pct=plain["within_pct"],
        rest_years=int(rest),
        intervals=tuple(one for one in DISEASES if given.ticked(f"keep_{one}")),
        longest=given.ticked("longest"),
        yards=_maybe(yards),
        organic_yards=_maybe(organic),
        yards_per_ac=plain["depth_in"] * YARDS_AN_INCH,
        hay_ac=plain["hay_ac"],
        hay_must=given.ticked("hay_must"),
        hay_least=int(stay),
        lead_in=given.ticked("lead_in"),
    )


def _maybe(number: Decimal | None) -> float | None:
    return None if number is None else float(number)


def crops_asked(given: Given) -> tuple[Crop, ...]:
    out: dict[str, Crop] = {}
    for place in range(MOST_CROPS):
        name = given.text(f"crop_{place}", needed=False, most=60).lower()
        acres = given.decimal(f"crop_ac_{place}", "0", "100000", needed=False)
        if name:
            out[name] = usual_crop(name, given.ticked(f"crop_organic_{place}"), float(acres or 0))
    if not out:
        given.fault("crop_0", "missing")
    return tuple(out.values())


def pin_asked(
    given: Given, pinned: dict[str, dict[int, Use]], wishes: Wishes, fields: Collection[str]
) -> dict[str, dict[int, Use]]:
    """The pinned years with one more, or with one fewer."""
    field = given.choice("field", fields)
    year = given.raw("year")
    if not year.isdecimal() or int(year) not in wishes.years:
        given.fault("year", "choice")
        return pinned
    if given.raw("do") == "unpin":
        pinned.get(field, {}).pop(int(year), None)
        return {one: years for one, years in pinned.items() if years}
    leg, _, crop = given.raw("use").partition(":")
    if leg not in LEGS or (leg == "cash" and wishes.crop(crop) is None):
        given.fault("use", "choice")
        return pinned
    pinned.setdefault(field, {})[int(year)] = (leg, crop)
    return pinned
