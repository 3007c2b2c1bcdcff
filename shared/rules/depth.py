"""Leaf depth against a sheet's cap and against the farm's own target: two numbers, never one.

By volume, on the ground actually covered and not on the whole field, adding up where parts and passes overlap
(ruling R3), within the period that the cap is meant for (R4). By measurement, from the stops of a round (R1,
R7).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from shared.reckoning.leaf import depth_verdict, stacked
from shared.rules.judging import check, judged, over
from shared.rules.period import counted
from shared.rules.sheet import Clause, Sheet
from shared.rules.spread import Spread, WorkedIn, pieces_of
from shared.rules.work_in_clock import worked_days
from shared.units import FT2_PER_ACRE
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True)
class LaidDepth:
    """How deep leaves lie by volume on one piece of ground. ``at_least``: some of the ground covered is known
    only by the field's outline. ``truck_yards``: some of it in truck yards, so not a depth on the ground.
    ``depth_now_in``: the same by today's outline, None where no outline was redrawn."""

    piece: str
    depth_in: float
    at_least: bool
    truck_yards: bool
    depth_now_in: float | None


def laid_depth(piece: str, spreads: Iterable[Spread]) -> LaidDepth:
    """The depth in inches of all these spreads on one piece of ground; 0 where none lies on it."""
    there = [spread for spread in spreads if piece in spread.ground]
    redrawn = any(spread.area_now_ft2 is not None for spread in there)
    return LaidDepth(
        piece,
        depth_in=_stacked_in((one.yards_yd3, one.area_ft2) for one in there),
        at_least=any(one.area_from == "outline" for one in there),
        truck_yards=any(one.yards_are == "truck" for one in there),
        depth_now_in=_stacked_in((one.yards_yd3, one.area_now_ft2 or one.area_ft2) for one in there)
        if redrawn
        else None,
    )


def _stacked_in(layers: Iterable[tuple[float, float]]) -> float:
    return stacked(("", yards, area / FT2_PER_ACRE.value) for yards, area in layers).get("", 0.0)


@check
def depth(
    sheets: Iterable[Sheet], spreads: Sequence[Spread], workings: Sequence[WorkedIn], on: date
) -> Iterator[Finding]:
    """What lies too deep by volume on the day ``on``, by each sheet's cap and target, for each piece of
    ground of one field. In truck yards it is a reminder: they are not depth on the ground until the factor is
    measured."""
    worked = worked_days(spreads, workings)
    for sheet in sheets:
        for clause, code, cure, is_cap in _depth_clauses(sheet):
            for piece in pieces_of(spreads):
                laid = laid_depth(
                    piece, counted(clause.basis or "until_worked_in", piece, spreads, worked, on)
                )
                if over(laid.depth_in, clause.value):
                    yield judged(
                        sheet,
                        clause,
                        f"{code}_truck_yards" if laid.truck_yards else code,
                        piece,
                        cure=cure,
                        value=laid.depth_in,
                        firm=is_cap and not laid.truck_yards,
                        at_least=laid.at_least,
                        basis=clause.basis,
                        on=on,
                        **_redrawn(laid),
                    )


@check
def depth_history(
    sheets: Iterable[Sheet], spreads: Sequence[Spread], workings: Sequence[WorkedIn]
) -> Iterator[Finding]:
    """The word of ``depth`` on each day on which something was spread: what a register of spreading shows."""
    in_force = tuple(sheets)
    for day in sorted({one.on for one in spreads}):
        yield from depth(in_force, spreads, workings, day)


def _depth_clauses(sheet: Sheet) -> Iterator[tuple[Clause[float], str, str, bool]]:
    if sheet.depth_in:
        yield sheet.depth_in, "depth_over", "no_more_leaves_here", True
    if sheet.target_depth_in:
        yield sheet.target_depth_in, "target_over", "spread_thinner", False


def _redrawn(laid: LaidDepth) -> dict[str, float]:
    return {} if laid.depth_now_in is None else {"depth_now_in": laid.depth_now_in}


@dataclass(frozen=True, slots=True)
class DepthStops:
    """The leaf depths of one round on covered ground, in inches: ``fresh`` ones, and ``settled`` ones (after
    rain or 48 hours), which can prove over but never within."""

    part: str
    fresh_in: tuple[float, ...]
    settled_in: tuple[float, ...] = ()


@check
def measured_depth(sheets: Iterable[Sheet], stops: DepthStops) -> Iterator[Finding]:
    """The round's word against each sheet's cap: over, or can't say yet. Nothing where it is within.

    Over if the low end of the mean's 90 % interval is above the cap, over the fresh stops alone or with the
    settled ones among them; ten stops or more are needed. The spots over the cap are counted beside it, never
    as a verdict.
    """
    for sheet in sheets:
        if sheet.depth_in is None:
            continue
        cap = sheet.depth_in
        word, mean_in = _round_word(stops, cap.value)
        if word == "over":
            yield judged(
                sheet, cap, "depth_measured_over", stops.part, cure="no_more_leaves_here", value=mean_in
            )
        elif word == "cannot_say":
            yield judged(
                sheet, cap, "depth_cannot_say", stops.part, cure="more_stops", value=mean_in, firm=False
            )
        spots = sum(over(one, cap.value) for one in (*stops.fresh_in, *stops.settled_in))
        if spots:
            yield judged(
                sheet, cap, "depth_spots", stops.part, cure="no_more_leaves_on_spots", value=spots, firm=False
            )


def _round_word(stops: DepthStops, cap_in: float) -> tuple[str, float | None]:
    """*over*, *within* or *cannot_say*, and the mean that it rests on (None without a covered stop)."""
    everything = (*stops.fresh_in, *stops.settled_in)
    together = depth_verdict(everything, cap_in, settled=bool(stops.settled_in))
    fresh = depth_verdict(stops.fresh_in, cap_in) if stops.fresh_in else together
    if fresh.verdict == "over" or together.verdict != "over":
        return fresh.verdict, fresh.mean_in
    return together.verdict, together.mean_in


@check
def depth_at_stop(sheets: Iterable[Sheet], part: str, depth_in: float) -> Iterator[Finding]:
    """The instant word at one stop: a spot over the cap, always a reminder (ruling R1)."""
    for sheet in sheets:
        if sheet.depth_in and over(depth_in, sheet.depth_in.value):
            yield judged(
                sheet, sheet.depth_in, "depth_spot", part, cure="tell_the_manager", value=depth_in, firm=False
            )


@dataclass(frozen=True, slots=True)
class Cap:
    """A depth in inches with the sheet that sets it."""

    sheet: Sheet
    clause: Clause[float]

    @property
    def depth_in(self) -> float:
        return self.clause.value


def caps(sheets: Iterable[Sheet]) -> tuple[Cap, ...]:
    """Every cap that binds, the shallowest first. Never a farm's target."""
    binding = [Cap(one, one.depth_in) for one in sheets if one.depth_in and one.depth_in.binds]
    return tuple(sorted(binding, key=lambda one: (one.depth_in, one.sheet.name)))


def lowest_cap(sheets: Iterable[Sheet]) -> Cap | None:
    """The shallowest cap that binds, None where no sheet sets one. Never a farm's target."""
    return next(iter(caps(sheets)), None)


def lowest_target(sheets: Iterable[Sheet]) -> Cap | None:
    """The shallowest depth that the farm aims at, None where no sheet names one. Never a cap."""
    targets = [Cap(one, one.target_depth_in) for one in sheets if one.target_depth_in]
    return min(targets, key=lambda one: (one.depth_in, one.sheet.name), default=None)
