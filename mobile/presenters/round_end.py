"""How a round came out: what its stops say together, and whether they are enough."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from mobile.actions.land import field
from mobile.actions.round import Round
from mobile.actions.save_stop import walked_so_far
from mobile.presenters.lines import RowView
from mobile.presenters.round_said import FROST
from mobile.presenters.session import Session
from shared.languages import say
from shared.reckoning.round import Enough, enough_firmness, enough_mean
from shared.reckoning.weeds import weed_cover_of_stops
from shared.status.fact import Fact
from shared.status.field_status import FieldStatus, fold
from shared.status.holding import holding
from shared.status.meaning import meaning


@dataclass(frozen=True, slots=True)
class RoundEnd:
    """A line for each measure; ``more``: how many stops to go on with, 0 where these are enough or no more help."""

    rows: tuple[RowView, ...]
    more: int = 0


def round_end(session: Session, walked: Round) -> RoundEnd:
    facts = walked_so_far(session.phone, session.enrolment, walked)
    ground = field(session.phone, session.enrolment, walked.field)
    if ground is None or not facts:
        return RoundEnd((RowView("none", session.say("round.nothing"), plain=True),))
    status = fold(facts, holding(ground), session.zone)
    rows, more = [], 0
    for name in walked.measures:
        told = _TOLD[name](session, status)
        enough = _ENOUGH[name](facts)
        word = session.say(f"enough.{enough.word}", count=enough.more)
        rows.append(RowView(name, session.say(f"measure.{name}"), told, stacked=True, plain=True))
        rows.append(RowView(f"{name}.enough", word, "", plain=True))
        if name == "cover":
            rows += _frost(session, facts)
        more = max(more, enough.more)
    return RoundEnd(tuple(rows), more)


def _frost(session: Session, facts: Sequence[Fact]) -> list[RowView]:
    """What frost on a sorghum means for feed; the caution stands where the round ends, for it is read there."""
    for fact in facts:
        for one in meaning(fact):
            if one.key == FROST:
                told = say(session.language, one.key, **one.facts)
                return [
                    RowView("cover.frost", session.say("end.frost"), told, True, stacked=True, plain=True)
                ]
    return []


def _cover(session: Session, status: FieldStatus) -> str:
    one = status.cover[0]
    if one.low_in is None or one.high_in is None:
        return session.say("end.cover_one", mean=one.mean_in)
    return session.say(
        "end.cover",
        count=one.stops,
        mean=one.mean_in,
        low=max(0.0, one.low_in),
        high=one.high_in,
        headed=one.headed,
    )


def _weeds(session: Session, status: FieldStatus) -> str:
    one = status.weeds[0]
    word = session.say(f"weed_word.{one.word}")
    if one.mean_pct is None or one.low_pct is None or one.high_pct is None:
        return session.say("end.weeds_word", count=one.stops, word=word)
    return session.say(
        "end.weeds", count=one.stops, word=word, mean=one.mean_pct, low=one.low_pct, high=one.high_pct
    )


def _firmness(session: Session, status: FieldStatus) -> str:
    if not status.firmness:
        return session.say("end.firm_apart")
    one = status.firmness[0]
    key = "end.firm_sure" if one.sure else "end.firm"
    return session.say(key, count=one.judged, hard=one.hard, unjudged=one.unjudged)


def _depth(session: Session, status: FieldStatus) -> str:
    one = status.leaf_depth[0]
    return session.say("end.depth", count=one.stops, mean=one.mean_in, covered=one.covered_pct)


_TOLD: dict[str, Callable[[Session, FieldStatus], str]] = {
    "cover": _cover,
    "weeds": _weeds,
    "firmness": _firmness,
    "leaf_depth": _depth,
}


def _values(facts: Sequence[Fact], kind: str, key: str) -> list[Any]:
    return [getattr(one.body, key) for one in facts if one.kind == kind]


def _enough_cover(facts: Sequence[Fact]) -> Enough:
    return enough_mean([float(one) for one in _values(facts, "cover", "height_in")])


def _enough_weeds(facts: Sequence[Fact]) -> Enough:
    classes = [list(one) for one in _values(facts, "weeds", "classes") if one]
    return enough_mean([weed_cover_of_stops([one]).mean_pct for one in classes])


def _enough_firm(facts: Sequence[Fact]) -> Enough:
    bodies: list[Any] = [one.body for one in facts if one.kind == "firmness"]
    body = [one for one in bodies if one.where == "body"]
    return enough_firmness([float(one.highest_psi) for one in body], [one.moisture for one in body])


def _enough_depth(facts: Sequence[Fact]) -> Enough:
    return enough_mean([float(one) for one in _values(facts, "leaf_depth", "depth_in")])


_ENOUGH: dict[str, Callable[[Sequence[Fact]], Enough]] = {
    "cover": _enough_cover,
    "weeds": _enough_weeds,
    "firmness": _enough_firm,
    "leaf_depth": _enough_depth,
}
