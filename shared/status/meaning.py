"""What a just-saved fact means: the sentence after Save, as a key of the languages with its facts, never as
text.

A judgement that needs more stops says how many; one that nothing can be said of says so. A fact of a kind
that needs no judgement has no meaning to tell.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from shared.reckoning.cover import SORGHUMS
from shared.reckoning.firmness import asks_spade, firmness, is_hard
from shared.reckoning.ground import ground_fitness
from shared.reckoning.leaf import FEWEST_STOPS, depth_verdict
from shared.reckoning.mowing import LEAVE_LOW_IN, MOW_AT_IN, hay_verdict, mow_verdict, prussic_acid
from shared.reckoning.round import enough_firmness
from shared.reckoning.weeds import cover_word, weed_cover_of_stops
from shared.rules.depth import depth_at_stop, lowest_cap
from shared.rules.ground import GroundToSpreadOn, may_be_spread_on
from shared.rules.sheet import Sheet
from shared.rules.work_in import work_in_last_day
from shared.status.fact import Fact
from shared.status.leaf_room import RoomLeft
from shared.status.needs.practice import HOT_F, KILL_TO_PLANT_EARLY, KILL_TO_PLANT_LATE, WARM_F
from shared.status.rounds import FRESH, JUDGED_WHERE
from shared.words.bodies.gate import Load, PileCheck
from shared.words.bodies.walked import Cover, Firmness, Ground, LeafDepth, Weeds
from shared.words.bodies.work import Work
from shared.words.span import outside

Shown = str | int | float | Decimal | date
STAGES = ("vegetative", "jointing", "boot", "heading", "bloom", "past_bloom")
GRASSES = ("orchardgrass", "timothy")


@dataclass(frozen=True, slots=True)
class Meaning:
    """One sentence: ``key`` of the languages and the facts for its places. ``grave``: it is told in the
    colour and with the mark of what is wrong."""

    key: str
    facts: Mapping[str, Shown] = field(default_factory=dict)
    grave: bool = False


@dataclass(frozen=True, slots=True)
class Told:
    """What a meaning may lean on beside the fact: the facts of this round before it, the sheets in force,
    whether the field lies under sod, the room left on a load's field after it, the farm's zone and the
    date that the farm set for the next season."""

    earlier: Sequence[Fact] = ()
    sheets: Sequence[Sheet] = ()
    zone: ZoneInfo | None = None
    under_sod: bool = False
    room: RoomLeft | None = None
    next_season_on: date | None = None


def meaning(fact: Fact, told: Told = Told()) -> tuple[Meaning, ...]:
    """The sentences for a fact, the first the one to show; empty where there is nothing to say. A figure
    that can't be believed gets that said and no other judgement."""
    if outside(fact.body):
        return (Meaning("meaning.doubtful", grave=True),)
    tell = _TELLERS.get(type(fact.body))
    return tuple(tell(fact, fact.body, told)) if tell else ()


def _walked(fact: Fact, told: Told, kind: type) -> list[Fact]:
    """This round's facts of one kind that can be believed, this one among them, each once."""
    together = {one.id: one for one in (*told.earlier, fact)}
    same = [one for one in together.values() if isinstance(one.body, kind) and one.round == fact.round]
    return [one for one in same if not one.struck and not outside(one.body)]


def _cover(fact: Fact, body: Cover, told: Told) -> Iterable[Meaning]:
    height = {"height": body.height_in}
    if body.cover in SORGHUMS:
        found = mow_verdict(body.cover, float(body.height_in), body.heads)
        leave = {"low": found.leave_low_in, "high": found.leave_high_in, "at": MOW_AT_IN.value}
        facts = height | leave | {"to_go": found.to_go_in}
        yield Meaning(f"meaning.cover.{found.why}", facts, found.verdict == "mow_now")
        if body.frost in ("light", "killing"):
            wait = prussic_acid(body.cover, float(body.height_in), days_since_frost=0).wait_days
            yield Meaning("meaning.cover.frost", {"count": wait}, True)
    elif body.cover in GRASSES and body.stage in STAGES:
        hay = hay_verdict(body.cover, body.stage)  # type: ignore[arg-type]
        yield Meaning(f"meaning.hay.{hay.why}", height, hay.verdict == "late")
    else:
        yield Meaning(f"meaning.cover.heads_{body.heads}", height)


def _weeds(fact: Fact, body: Weeds, told: Told) -> Iterable[Meaning]:
    if body.seed_set != "none":
        yield Meaning("meaning.weeds.seed", grave=True)
    classes = [one.body.classes for one in _walked(fact, told, Weeds) if isinstance(one.body, Weeds)]
    stops = [one for one in classes if one]
    if stops:
        found = weed_cover_of_stops(stops)
        word = cover_word(found)
        yield Meaning(f"meaning.weeds.{word}", {"mean": found.mean_pct, "count": len(stops)})


def _firmness(fact: Fact, body: Firmness, told: Told) -> Iterable[Meaning]:
    if body.where != JUDGED_WHERE:
        yield Meaning("meaning.firmness.apart", {"psi": body.highest_psi})
        return
    stops = [one.body for one in _walked(fact, told, Firmness) if isinstance(one.body, Firmness)]
    judged = [one for one in stops if one.where == JUDGED_WHERE]
    peaks, felt = [float(one.highest_psi) for one in judged], [one.moisture for one in judged]
    if is_hard(float(body.highest_psi), body.moisture) is None:
        too = "wet" if body.moisture == "wet" else "dry"
        yield Meaning(f"meaning.firmness.unjudged_{too}", {"psi": body.highest_psi})
        if all(is_hard(psi, state) is None for psi, state in zip(peaks, felt, strict=True)):
            return
    found, enough = firmness(peaks, felt), enough_firmness(peaks, felt)
    hard = sum(is_hard(psi, state) is True for psi, state in zip(peaks, felt, strict=True))
    facts = {"hard": hard, "of": len(peaks) - found.unjudged}
    if enough.word == "more":
        yield Meaning("meaning.firmness.more", facts | {"count": enough.more})
    elif enough.word == "no_more":
        yield Meaning("meaning.firmness.cannot_say", facts)
    else:
        yield Meaning("meaning.firmness.act" if found.act else "meaning.firmness.leave", facts, found.act)
    if enough.word != "more" and asks_spade(found, told.under_sod):
        yield Meaning("meaning.firmness.spade_first")


def _leaf_depth(fact: Fact, body: LeafDepth, told: Told) -> Iterable[Meaning]:
    here = {"depth": body.depth_in}
    over = depth_at_stop(told.sheets, str(fact.part or fact.field or ""), float(body.depth_in))
    if over:
        limit = min(one.limit for one in over if isinstance(one.limit, (int, float)))
        yield Meaning("meaning.depth.spot", here | {"cap": limit}, True)
        return
    cap = lowest_cap(told.sheets)
    stops = [one.body for one in _walked(fact, told, LeafDepth) if isinstance(one.body, LeafDepth)]
    if cap is None:
        yield Meaning("meaning.depth.no_cap", here)
        return
    facts: dict[str, Shown] = {"depth": body.depth_in, "cap": cap.depth_in}
    if len(stops) < FEWEST_STOPS.value:
        yield Meaning("meaning.depth.more", facts | {"count": int(FEWEST_STOPS.value) - len(stops)})
        return
    depths = [float(one.depth_in) for one in stops]
    settled = any(one.layer != FRESH for one in stops)
    found = depth_verdict(depths, cap.depth_in, settled)
    facts["mean"] = found.mean_in if found.mean_in is not None else 0.0
    yield Meaning(f"meaning.depth.{found.verdict}", facts, found.verdict == "over")


def _ground(fact: Fact, body: Ground, told: Told) -> Iterable[Meaning]:
    """Two words that are never one (R20): whether it bears, and whether a sheet bars spreading on it."""
    found = ground_fitness(
        body.state,
        body.thread,
        _number(body.frost_in),
        _number(body.snow_in),
        body.snow_packed,
        **({"axle_tons": float(body.axle_tons)} if body.axle_tons is not None else {}),
        tire_psi=_number(body.tire_psi),
    )
    yield Meaning(f"meaning.ground.{found.verdict}", grave=found.verdict == "stay_off")
    yield Meaning(f"meaning.ground_why.{found.why}")
    if may_be_spread_on(told.sheets, GroundToSpreadOn(str(fact.field or ""), body.state)):
        yield Meaning("meaning.ground.barred", grave=True)


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _load(fact: Fact, body: Load, told: Told) -> Iterable[Meaning]:
    if not body.is_taken:
        yield Meaning("meaning.load.turned_back", {"ticket": body.ticket})
        return
    if told.room is not None:
        yield from room_meaning(told.room)


def room_meaning(room: RoomLeft) -> tuple[Meaning, ...]:
    """The room left on a field after a load: yards and whole loads like it, or why it takes no more."""
    if room.closed:
        return (Meaning(f"meaning.load.closed_{room.closed[0]}", grave=True),)
    facts: dict[str, Shown] = {"room": int(room.room_yd3)}
    if room.over_by_yd3 > 0 or room.room_yd3 <= 0 or room.whole_loads == 0:
        return (Meaning("meaning.load.full", facts | {"over": int(room.over_by_yd3)}, True),)
    if room.whole_loads is None:
        return (Meaning("meaning.load.room", facts),)
    return (Meaning("meaning.load.room_loads", facts | {"count": room.whole_loads}),)


def _pile(fact: Fact, body: PileCheck, told: Told) -> Iterable[Meaning]:
    if body.temp_f is None:
        return
    temp = {"temp": body.temp_f}
    if body.temp_f >= Decimal(HOT_F.value):
        yield Meaning("meaning.pile.hot", temp, True)
    elif body.temp_f > Decimal(WARM_F.value):
        yield Meaning("meaning.pile.warm", temp, True)
    else:
        yield Meaning("meaning.pile.cool", temp)


def _work(fact: Fact, body: Work, told: Told) -> Iterable[Meaning]:
    on = fact.day(told.zone) if told.zone is not None else None
    if on is None:
        return
    if body.job == "spread":
        last = work_in_last_day(told.sheets, on, told.next_season_on)
        yield (
            Meaning("meaning.work.work_in_by", {"day": last})
            if last
            else Meaning("meaning.work.work_in_later")
        )
    elif body.job == "kill":
        early, late = on + _days(KILL_TO_PLANT_EARLY.value), on + _days(KILL_TO_PLANT_LATE.value)
        yield Meaning("meaning.work.plant_from", {"early": early, "late": late})
    elif body.job == "mow" and body.stubble_in is not None and body.stubble_in < Decimal(LEAVE_LOW_IN.value):
        yield Meaning("meaning.work.stubble", {"left": body.stubble_in, "least": LEAVE_LOW_IN.value})
    elif body.job == "spray" and body.plantback_d:
        yield Meaning("meaning.work.plantback", {"day": on + timedelta(days=body.plantback_d)})


def _days(number: float) -> timedelta:
    return timedelta(days=int(number))


_TELLERS: dict[type, Callable[..., Iterable[Meaning]]] = {
    Cover: _cover,
    Weeds: _weeds,
    Firmness: _firmness,
    LeafDepth: _leaf_depth,
    Ground: _ground,
    Load: _load,
    PileCheck: _pile,
    Work: _work,
}
