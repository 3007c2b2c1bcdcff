"""Asking for a plan, keeping what came out, and making one of them the farm's plan in the book."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from statistics import mean
from typing import Any
from uuid import UUID

from server.ahead.grounds import cash_harvests, plans_of
from server.ahead.models import Sketch
from server.ahead.planner import Conflict, Found, Proposal
from server.book import reads as book
from server.intake.desk import Draft, write
from server.people.ids import new_id
from server.status import reads as status
from shared.ahead.crops import Crop, usual_crop
from shared.ahead.plan_check import year_sums
from shared.ahead.wishes import EMPHASES, Ground, Use, Wishes
from shared.status.field_status import FieldStatus
from shared.units import FT2_PER_ACRE, INCH_FT2_PER_YD3
from shared.words.bodies.desk import Plan
from shared.words.bodies.gate import Load

CROPS_BACK = 6
SEASONS_BACK = 3
LEAD_INS = {"allium": "oats"}
USUAL_LEAD_IN = "rye-vetch"
HAY, SMOTHER = "timothy", "sorghum-sudan"
"""What a plan writes where the field's own grass is not known (common practice, no source)."""
YARDS_AN_INCH = FT2_PER_ACRE.value / INCH_FT2_PER_YD3.value
FIELDS = (
    "share_pct", "within_pct", "rest_years", "longest", "yards", "organic_yards", "yards_per_ac",
    "hay_ac", "hay_must", "hay_least", "lead_in",
)  # fmt: skip
"""The wishes that travel as they are; crops and intervals apart."""


def usual_wishes(farm: UUID, today: date) -> Wishes:
    """What to begin with: the crops of the last years and of the plan, and the yards that the towns brought."""
    names = {crop for years in plans_of(farm).values() for leg, crop in years.values() if leg == "cash"}
    for tree in status.standings(farm).values():
        legs = FieldStatus.from_tree(tree).legs
        names |= {crop for crop, on in cash_harvests(legs, today) if on.year > today.year - CROPS_BACK}
    crops = tuple(usual_crop(name) for name in sorted(names) if name)
    return Wishes(today.year + 1, crops, yards=yards_a_season(farm, today))


def yards_a_season(farm: UUID, today: date) -> float | None:
    """Truck yards taken in a season (July to June), the mean of the last few; None without any."""
    seasons: dict[int, float] = {}
    for written in book.all_written(book.of_kinds(farm, ["load"])):
        body = written.entry.body
        if isinstance(body, Load) and body.outcome == "taken":
            made = written.entry.made_at.utc
            if made is not None:
                season = made.year if made.month >= 7 else made.year - 1
                seasons[season] = seasons.get(season, 0.0) + float(sum(yards for _, yards in body.to))
    last = [yards for season, yards in seasons.items() if season > today.year - SEASONS_BACK]
    return round(mean(last)) if last else None


def wishes_to_tree(wishes: Wishes) -> dict[str, Any]:
    crops = [[one.name, one.organic, one.want_ac] for one in wishes.crops]
    plain = {name: getattr(wishes, name) for name in FIELDS}
    return {"first": wishes.first, "crops": crops, "intervals": list(wishes.intervals), **plain}


def wishes_from(tree: Mapping[str, Any]) -> Wishes:
    crops: tuple[Crop, ...] = tuple(usual_crop(name, organic, ac) for name, organic, ac in tree["crops"])
    plain = {name: tree[name] for name in FIELDS if name in tree}
    return Wishes(tree["first"], crops, intervals=tuple(tree["intervals"]), **plain)


def sketched(
    farm: UUID, person: UUID, wishes: Wishes, pinned: Mapping[str, Mapping[int, Use]], now: datetime
) -> Sketch:
    """Write down what is asked for; its plans are yet to be made."""
    return Sketch.objects.create(
        id=new_id(now),
        farm_id=farm,
        made_at=now,
        made_by=person,
        wishes=wishes_to_tree(wishes),
        pinned={
            field: {str(year): list(use) for year, use in years.items()} for field, years in pinned.items()
        },
        answer={"plans": [], "conflict": [], "proven": True},
        standing="asked",
        moved_at=now,
    )


def pinned_of(sketch: Sketch) -> dict[str, dict[int, Use]]:
    return {
        field: {int(year): (use[0], use[1]) for year, use in years.items()}
        for field, years in sketch.pinned.items()
    }


def proposals_of(sketch: Sketch, grounds: tuple[Ground, ...]) -> list[Proposal]:
    """The plans of a sketch again, summed over the fields as they are now; a field drawn since is left out."""
    wishes = wishes_from(sketch.wishes)
    out = []
    for tree in sketch.answer["plans"]:
        plan = {
            field: {int(year): (use[0], use[1]) for year, use in years.items()}
            for field, years in tree["plan"].items()
        }
        known = tuple(one for one in grounds if one.id in plan)
        share = tree.get("share", EMPHASES[tree["emphasis"]].share)
        found = Found(plan, tree["cost"], tree["bound"], tree["solver_s"], share)
        out.append(Proposal(tree["emphasis"], found, year_sums(known, wishes, plan)))
    return out


def conflict_of(sketch: Sketch) -> Conflict | None:
    wishes = tuple(sketch.answer["conflict"])
    return Conflict(wishes, sketch.answer["proven"]) if wishes else None


def last_sketch(farm: UUID) -> Sketch | None:
    return Sketch.objects.filter(farm_id=farm).order_by("-made_at").first()


def kept(sketch: Sketch, emphasis: str, name: str, person: UUID, now: datetime) -> int:
    """Write one of its plans into the book as the farm's plan, and answer with how many fields it has."""
    tree = next(one for one in sketch.answer["plans"] if one["emphasis"] == emphasis)
    pins = pinned_of(sketch)
    plan_id, drafts = new_id(now), []
    grasses = _grasses(sketch.farm_id)
    for field, years in sorted(tree["plan"].items()):
        uses = {int(year): (use[0], use[1]) for year, use in years.items()}
        told = tuple(
            (year, use[0], _crop_word(year, uses, grasses.get(field, HAY)))
            for year, use in sorted(uses.items())
        )
        pinned = tuple(sorted(pins.get(field, {}))) or None
        drafts.append(Draft(Plan(plan_id, name, told, pinned), field=UUID(field)))
    write(sketch.farm_id, person, drafts, now)
    return len(drafts)


def _crop_word(year: int, uses: Mapping[int, Use], grass: str) -> str:
    """What stands there in a year: a rest's crop is what is usual before the next crop, or the field's grass."""
    leg, crop = uses[year]
    if leg == "lead_in":
        following = uses.get(year + 1, ("", ""))[1]
        return LEAD_INS.get(usual_crop(following).family, USUAL_LEAD_IN)
    return {"hay": grass, "smother": SMOTHER}.get(leg, crop)


def _grasses(farm: UUID) -> dict[str, str]:
    out = {}
    for field, tree in status.standings(farm).items():
        hay = [one.crop for one in FieldStatus.from_tree(tree).legs if one.leg == "hay" and one.crop]
        if hay:
            out[str(field)] = hay[-1]
    return out
