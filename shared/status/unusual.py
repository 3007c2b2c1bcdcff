"""Why an entry is unusual at the evening reading: each reason as a key of the languages with its facts.

Nothing here judges that an entry is wrong: it is to be opened before it is initialled.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

from shared.errors import InputError
from shared.reckoning.intervals import mean, median
from shared.reckoning.land import contains, distance_to_edge_m, radius95
from shared.reckoning.weeds import MIDPOINTS
from shared.rules.bags import BagFacts, bags
from shared.rules.depth import depth_at_stop
from shared.rules.grass import grass
from shared.rules.sheet import Sheet
from shared.rules.trash import TrashFacts, by_volume, trash, weighed
from shared.status.fact import Fact
from shared.status.kept_off import Near, is_put_on, over_sheets
from shared.units import GAL_PER_YD3, Figure, Source
from shared.words.bodies import Body
from shared.words.bodies.gate import Load
from shared.words.bodies.walked import Cover, Firmness, LeafDepth, Weeds
from shared.words.finding import Finding
from shared.words.place import Outline
from shared.words.span import outside

OUTLIER = Source(
    "robust_z",
    "Iglewicz and Hoaglin 1993, How to Detect and Handle Outliers: 0.6745 (x - median) / MAD over 3.5",
    1993,
    "memory",
)
HOUSE_READING = Source(
    "house_reading", "a choice of this project, common practice, no source", None, "practice"
)
FAR_Z = Figure(3.5, "robust z", OUTLIER)
MAD_SCALE = Figure(0.6745, "MAD of a normal of spread 1", OUTLIER)
MEAN_SCALE = Figure(1.253314, "spread of a normal over its mean deviation", OUTLIER)
FEWEST_BEFORE = Figure(6, "earlier values", HOUSE_READING)
"""With fewer no figure is told to be far off."""
CLOCK_OFF_MS = Figure(
    300_000, "ms", Source("skew", "contract, W16: over five minutes an entry is marked", None, "defined")
)
PHOTO_DAYS = Figure(
    7,
    "days",
    Source("late_photo", "contract, W15: after seven days it stands at the reading", None, "defined"),
)
MS_PER_MINUTE = 60_000

Shown = str | int | float | Decimal | date


@dataclass(frozen=True, slots=True)
class Unusual:
    """One reason: its sentence is ``unusual.<code>`` with the facts. ``finding`` is the rule's own word,
    where a rule sheet is behind it."""

    code: str
    facts: Mapping[str, Shown] = field(default_factory=dict)
    finding: Finding | None = None

    @property
    def key(self) -> str:
        return f"unusual.{self.code}"


@dataclass(frozen=True, slots=True)
class Reading:
    """What an entry is read against: its day and zone, the field's facts of before, the sheets in force,
    the field's outline (None: not drawn), by how much the phone's clock was ahead in ms (None: not
    known), the photos that have come, what of the farm's buffers the entry came near to."""

    today: date
    zone: ZoneInfo
    history: Sequence[Fact] = ()
    sheets: Sequence[Sheet] = ()
    outline: Outline | None = None
    skew_ms: int | None = None
    photos_here: Collection[str] = ()
    near: Sequence[Near] = ()


def unusual(fact: Fact, read: Reading) -> tuple[Unusual, ...]:
    """Every reason for which an entry is unusual, always in the same order; empty for a usual one."""
    return (
        *beyond_belief(fact.body),
        *_far_off(fact, read),
        *_over_rule(fact, read.sheets),
        *_off_the_field(fact, read.outline),
        *too_near(fact, read.near, read.sheets),
        *_clock(fact, read.skew_ms),
        *_photos(fact, read),
    )


def beyond_belief(body: Body) -> Iterator[Unusual]:
    """The figures of a body that lie outside the span in which they can be believed."""
    for one in outside(body):
        span = one.span
        facts = {"key": one.key, "value": one.value, "low": span.low, "high": span.high, "unit": span.unit}
        yield Unusual("outside", facts)


def robust_z(value: float, before: Sequence[float]) -> float | None:
    """How far a value lies from the median of earlier ones, in robust standard deviations: by the median
    absolute deviation, or the mean one where that is 0. None with fewer than six, or where they are all
    alike."""
    if len(before) < FEWEST_BEFORE.value:
        return None
    middle = median(before)
    apart = [abs(one - middle) for one in before]
    typical = median(apart)
    if typical > 0:
        return MAD_SCALE.value * (value - middle) / typical
    spread = MEAN_SCALE.value * mean(apart)
    return (value - middle) / spread if spread > 0 else None


def _far_off(fact: Fact, read: Reading) -> Iterator[Unusual]:
    """Against this field's own history: heights against the other stops of the round (a cover grows), the
    rest against all that was measured there before; a load against the same truck's."""
    value = _measured(fact.body)
    if value is None or outside(fact.body):
        return
    name, figure = value
    earlier = {
        one.id: one for one in read.history if one.id != fact.id and not one.struck and _alike(one, fact)
    }
    told = [_measured(one.body) for one in earlier.values() if not outside(one.body)]
    before = [each[1] for each in told if each is not None and each[0] == name]
    z = robust_z(figure, before)
    if z is not None and abs(z) > FAR_Z.value:
        facts = {"value": round(figure, 2), "usual": round(median(before), 2), "count": len(before)}
        yield Unusual(f"far_off_{name}", facts)


def _alike(one: Fact, fact: Fact) -> bool:
    if one.kind != fact.kind:
        return False
    if isinstance(fact.body, Load):
        return isinstance(one.body, Load) and one.body.vehicle == fact.body.vehicle
    same_round = not isinstance(fact.body, Cover) or (fact.round is not None and one.round == fact.round)
    return one.field == fact.field and same_round


def _measured(body: Body) -> tuple[str, float] | None:
    """The one figure of a body that is compared, by name."""
    if isinstance(body, Cover):
        return "height", float(body.height_in)
    if isinstance(body, Firmness):
        return "psi", float(body.highest_psi)
    if isinstance(body, LeafDepth):
        return "depth", float(body.depth_in)
    if isinstance(body, Weeds) and body.classes:
        return "weeds", mean([MIDPOINTS["cover8"][one].value for one in body.classes])
    if isinstance(body, Load) and body.vehicle is not None and body.is_taken:
        return "yards", float(body.carried_yd3)
    return None


def _over_rule(fact: Fact, sheets: Sequence[Sheet]) -> Iterator[Unusual]:
    if outside(fact.body):
        return
    for one in _rule_findings(fact, sheets):
        yield Unusual("over_rule", finding=one)


def _rule_findings(fact: Fact, sheets: Sequence[Sheet]) -> Iterable[Finding]:
    """What the sheets in force say of this entry alone."""
    if isinstance(fact.body, LeafDepth):
        return depth_at_stop(sheets, str(fact.part or fact.field or fact.id), float(fact.body.depth_in))
    if isinstance(fact.body, Load) and fact.body.is_taken:
        return _load_findings(fact.body, sheets)
    return ()


def _load_findings(load: Load, sheets: Sequence[Sheet]) -> Iterator[Finding]:
    seen = load.trash != "none"
    facts = TrashFacts(load=load.ticket, seen=seen)
    with suppress(InputError):  # a sample of no weight to speak of gives no share
        if load.sample_lb and load.trash_lb is not None and load.trash_lb <= load.sample_lb:
            facts = weighed(load.ticket, float(load.sample_lb), float(load.trash_lb))
        elif load.trash_gal is not None and load.carried_yd3 > 0 and _fits(load):
            facts = by_volume(load.ticket, float(load.carried_yd3), float(load.trash_gal))
    yield from (one for one in trash(sheets, facts) if one.code.startswith("trash_over"))
    if load.bags == "many":
        yield from bags(sheets, BagFacts(load.ticket, bags_seen=True))
    if load.grass_pct is not None:
        yield from grass(sheets, load.ticket, float(load.grass_pct))


def _fits(load: Load) -> bool:
    """Whether the gallons of trash go into the load at all."""
    return load.trash_gal is not None and load.trash_gal <= load.carried_yd3 * Decimal(str(GAL_PER_YD3.value))


def _off_the_field(fact: Fact, outline: Outline | None) -> Iterator[Unusual]:
    """Outside the field by more than the position may be out. A load is written at the gate, not in its field."""
    if fact.at is None or outline is None or isinstance(fact.body, Load):
        return
    point = (float(fact.at.lat), float(fact.at.lon))
    if contains(point, outline):
        return
    away = distance_to_edge_m(point, outline)
    r68 = float(fact.at.r68_m) if fact.at.r68_m is not None else 0.0
    doubt = radius95(r68).r95_m if r68 > 0 else 0.0
    if away > doubt:
        yield Unusual("off_the_field", {"metres": round(away)})


def too_near(fact: Fact, near: Sequence[Near], sheets: Sequence[Sheet]) -> Iterator[Unusual]:
    """A stop, a spreading or a load within a buffer of the farm's; and, of what is laid, nearer than a sheet says."""
    for one in near:
        if one.inside:
            facts: dict[str, Shown] = {"name": one.name, "feet": round(one.distance_ft)}
            facts |= {"setback": round(one.setback_ft), "off": round(one.off_by_ft)}
            yield Unusual("in_buffer" if one.sure else "perhaps_in_buffer", facts)
    if is_put_on(fact.body):
        for finding in over_sheets(sheets, str(fact.part or fact.field or fact.id), near):
            yield Unusual("over_rule", finding=finding)


def _clock(fact: Fact, skew_ms: int | None) -> Iterator[Unusual]:
    if skew_ms is not None and abs(skew_ms) > CLOCK_OFF_MS.value:
        code = "clock_ahead" if skew_ms > 0 else "clock_behind"
        yield Unusual(code, {"count": abs(round(skew_ms / MS_PER_MINUTE))})


def _photos(fact: Fact, read: Reading) -> Iterator[Unusual]:
    """A photo that has not come in seven days; a load turned back without one."""
    if isinstance(fact.body, Load) and not fact.body.is_taken and not fact.photos:
        yield Unusual("turned_back_without_photo")
    missing = sum(photo.sha256 not in read.photos_here for photo in fact.photos)
    on = fact.day(read.zone)
    if missing and on is not None and (read.today - on).days >= PHOTO_DAYS.value:
        yield Unusual("photo_missing", {"count": missing})
