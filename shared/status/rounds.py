"""What the rounds of a field mean: each measure's stops made into one figure with its interval.

The figures come from the reckoning; here they are only picked from the stops. A round is told by its last
day.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from shared.reckoning.firmness import HardLayer, field_layer, firmness, is_hard
from shared.reckoning.intervals import mean, mean_interval
from shared.reckoning.leaf import DepthVerdict, covered, depth_verdict
from shared.reckoning.weeds import cover_word, weed_count, weed_cover_of_stops
from shared.status.field_year import RoundWalked
from shared.status.stops import CoverStop, FirmStop, WeedStop

FRESH = "fresh"
JUDGED_WHERE = "body"
"""Lanes, entrances and end rows are kept apart: they are driven on, and say nothing of the field."""
SEED_SETS = ("none", "some", "much")


@dataclass(frozen=True, slots=True)
class CoverRound:
    """Cover height of one round: mean in inches with its 90 % interval (ends None for one stop), the
    share of stops with heads, and what grows at most stops."""

    key: str
    on: date
    stops: int
    mean_in: float
    low_in: float | None
    high_in: float | None
    tallest_in: float
    headed: int
    many_headed: int
    cover: str
    stage: str | None
    frost: str | None

    @property
    def headed_pct(self) -> float:
        return 100.0 * self.headed / self.stops


@dataclass(frozen=True, slots=True)
class WeedRound:
    """Weeds of one round: by cover class the mean in % with its 95 % interval; by counts plants a square
    metre where the quadrats are enough for a figure. ``word`` is *low*, *medium* or *high*."""

    key: str
    on: date
    stops: int
    word: str
    mean_pct: float | None
    low_pct: float | None
    high_pct: float | None
    per_m2: float | None
    seed_set: str


@dataclass(frozen=True, slots=True)
class FirmRound:
    """Hard points of one round in the body of the field: ``hard`` of ``judged`` are over 300 psi (R15),
    with the Wilson 95 % interval in %; ``unjudged`` were too dry or too wet to say; ``apart`` were in
    lanes and ends. The hard layer is the median top and bottom in inches."""

    key: str
    on: date
    stops: int
    hard: int
    judged: int
    unjudged: int
    apart: int
    over_pct: float | None
    low_pct: float | None
    high_pct: float | None
    act: bool
    sure: bool
    top_in: float | None
    bottom_in: float | None


@dataclass(frozen=True, slots=True)
class DepthRound:
    """Leaf depth of one round: the three figures of R6, and the depths themselves (inches, sorted), fresh
    ones apart from settled ones, for a verdict against whichever cap is in force."""

    key: str
    on: date
    stops: int
    covered_pct: float
    mean_covered_in: float | None
    mean_in: float
    fresh_in: tuple[float, ...]
    settled_in: tuple[float, ...]

    def verdict(self, cap_in: float) -> DepthVerdict:
        """The round's word against a cap (R1); a settled reading among them can prove over, never within
        (R7)."""
        return depth_verdict((*self.fresh_in, *self.settled_in), cap_in, settled=bool(self.settled_in))


def cover_round(walked: RoundWalked) -> CoverRound | None:
    """The cover of a round, None where it has none."""
    if not walked.cover:
        return None
    heights = [float(stop.height_in) for stop in walked.cover]
    middle = mean_interval(heights) if len(heights) > 1 else None
    return CoverRound(
        key=walked.key,
        on=walked.last[0],
        stops=len(heights),
        mean_in=mean(heights),
        low_in=middle.low if middle else None,
        high_in=middle.high if middle else None,
        tallest_in=max(heights),
        headed=sum(stop.heads != "none" for stop in walked.cover),
        many_headed=sum(stop.heads == "many" for stop in walked.cover),
        cover=_most(stop.cover for stop in walked.cover) or "other",
        stage=_most(stop.stage for stop in walked.cover),
        frost=_frost(walked.cover),
    )


def _most(words: Iterable[str | None]) -> str | None:
    """The commonest word; of equals the first by the alphabet."""
    counts = Counter(word for word in words if word is not None)
    return min(counts, key=lambda word: (-counts[word], word), default=None)


def _frost(stops: Iterable[CoverStop]) -> str | None:
    seen = {stop.frost for stop in stops}
    return "killing" if "killing" in seen else "light" if "light" in seen else None


def weed_round(walked: RoundWalked) -> WeedRound | None:
    """The weeds of a round, None where it has none. Counts and classes in one round: the classes are told."""
    if not walked.weeds:
        return None
    classes = [stop.classes.split(" ") for stop in walked.weeds if stop.classes]
    seed_set = max((stop.seed_set for stop in walked.weeds), key=SEED_SETS.index)
    head = (walked.key, walked.last[0])
    if classes:
        found = weed_cover_of_stops(classes)
        word = cover_word(found)
        return WeedRound(
            *head, len(classes), word, found.mean_pct, found.low_pct, found.high_pct, None, seed_set
        )
    plants, frame = _one_frame(walked.weeds)
    if not plants:  # lists of classes with nothing in them
        return None
    counted = weed_count(plants, frame)
    return WeedRound(*head, len(plants), counted.word, None, None, None, counted.per_m2, seed_set)


def _one_frame(stops: Iterable[WeedStop]) -> tuple[list[float], float]:
    """The counts of the frame that was used most: counts in frames of two sizes make no mean."""
    counts = [(stop.frame_m2, stop.plants) for stop in stops]
    frame = _most(size for size, plants in counts if plants is not None) or "1"
    return [float(plants) for size, plants in counts if size == frame and plants is not None], float(frame)


def firm_round(walked: RoundWalked) -> FirmRound | None:
    """The firmness of a round, None where it has none in the body of the field."""
    body = [stop for stop in walked.firmness if stop.where == JUDGED_WHERE]
    if not body:
        return None
    peaks = [float(stop.peak_psi) for stop in body]
    felt: list[Any] = [stop.moisture for stop in body]
    found = firmness(peaks, felt)
    judged = [is_hard(peak, state) for peak, state in zip(peaks, felt, strict=True)]
    layer = field_layer(_layer(stop) for stop in body)
    return FirmRound(
        key=walked.key,
        on=walked.last[0],
        stops=len(body),
        hard=judged.count(True),
        judged=len(judged) - judged.count(None),
        unjudged=found.unjudged,
        apart=len(walked.firmness) - len(body),
        over_pct=found.over_pct,
        low_pct=found.low_pct,
        high_pct=found.high_pct,
        act=found.act,
        sure=found.sure,
        top_in=layer.top_in,
        bottom_in=layer.bottom_in,
    )


def _layer(stop: FirmStop) -> HardLayer:
    return HardLayer(_number(stop.top_in), _number(stop.bottom_in))


def _number(text: str | None) -> float | None:
    return None if text is None else float(text)


def depth_round(walked: RoundWalked) -> DepthRound | None:
    """The leaf depths of a round, None where it has none."""
    if not walked.leaf_depth:
        return None
    fresh = sorted(Decimal(stop.depth_in) for stop in walked.leaf_depth if stop.layer == FRESH)
    settled = sorted(Decimal(stop.depth_in) for stop in walked.leaf_depth if stop.layer != FRESH)
    depths = [float(one) for one in (*fresh, *settled)]
    found = covered(depths)
    return DepthRound(
        key=walked.key,
        on=walked.last[0],
        stops=len(depths),
        covered_pct=found.covered_pct,
        mean_covered_in=found.mean_covered_in,
        mean_in=found.mean_in,
        fresh_in=tuple(float(one) for one in fresh),
        settled_in=tuple(float(one) for one in settled),
    )
