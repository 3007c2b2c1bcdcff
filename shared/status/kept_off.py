"""What stands inside a buffer or too near to what a buffer is kept around: a stop, a spreading, a load.

A distance goes from the place to the thing itself (a well, a house, the water's edge). Plain Python for the phone;
the server finds the same distances with shapely.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from shared.reckoning.land import contains, radius95
from shared.reckoning.plane import LatLon, Plane, distance_m, edge_distance_m, is_inside, rings
from shared.reckoning.spreadable import KeepOff, keep_off
from shared.rules.setbacks import Feature, Reach, setbacks
from shared.rules.sheet import Sheet
from shared.status.fact import Fact
from shared.units import M_PER_FT
from shared.words.bodies import Body
from shared.words.bodies.gate import Load
from shared.words.bodies.walked import Cover, Firmness, LeafDepth, Weeds
from shared.words.bodies.work import Work
from shared.words.field import Around, Buffer
from shared.words.finding import Finding
from shared.words.place import Outline, Position

FEATURE_OF: dict[Around, Feature] = {
    "house": "residence",
    "well": "well",
    "water": "water",
    "wetland": "wetland",
    "line": "line",
    "drain": "drain",
}
"""What a rule sheet calls what a buffer is around; of the rest no sheet speaks."""
COVERED_IN = Decimal("0.5")
"""A stop is covered from here on (R6)."""
PUT_ON = ("spread", "compost", "manure")
"""Work that puts on the ground what a buffer keeps off it."""


@dataclass(frozen=True, slots=True)
class Near:
    """How near a place came to what a buffer is around. ``off_by_ft`` is how far the position may be out (0 for
    drawn ground), ``setback_ft`` the buffer's own distance."""

    buffer: UUID
    name: str
    around: Around
    distance_ft: float
    setback_ft: float
    off_by_ft: float = 0.0

    @property
    def inside(self) -> bool:
        """Within the buffer as far as the position says."""
        return self.distance_ft < self.setback_ft or self.distance_ft == 0.0

    @property
    def sure(self) -> bool:
        """Within the buffer wherever the position really is."""
        return self.inside and (self.distance_ft + self.off_by_ft < self.setback_ft or self.off_by_ft == 0.0)


def judged_by_place(body: Body) -> bool:
    """Whether the place of such an entry is held against the buffers: a stop, a spreading, a load."""
    return is_put_on(body) or isinstance(body, (Cover, Weeds, Firmness, LeafDepth))


def is_put_on(body: Body) -> bool:
    """Whether an entry tells of something laid where it was written: only of this do the sheets speak."""
    if isinstance(body, Work):
        return body.job in PUT_ON
    if isinstance(body, Load):
        return body.is_taken
    return isinstance(body, LeafDepth) and body.depth_in >= COVERED_IN


def laid_at(fact: Fact, grounds: Mapping[UUID, Outline]) -> LatLon | None:
    """Where an entry stands on the ground; None where nobody can say. A load is written at the gate: its position
    counts only within the ground (by its id) that the load went to."""
    if fact.at is None or not judged_by_place(fact.body):
        return None
    point = (float(fact.at.lat), float(fact.at.lon))
    if isinstance(fact.body, Load):
        to = (grounds.get(place) for place, _ in fact.body.to)
        return point if any(contains(point, ground) for ground in to if ground) else None
    return point


def off_by_ft(at: Position) -> float:
    """How far a position may be out, in feet, 95 times of 100; 0 where its receiver didn't say."""
    r68 = float(at.r68_m) if at.r68_m is not None else 0.0
    return radius95(r68).r95_m / M_PER_FT.value if r68 > 0.0 else 0.0


def distance_to_feature_ft(point: LatLon, off: KeepOff) -> float:
    """Feet from a point to the thing that a buffer is around, 0 inside of it. Agrees with shapely to 0.1 %."""
    here = Plane(*point)
    found = [float("inf")]
    for piece in off.polygons:
        flat = [here.ring(ring) for ring in rings(piece)]
        found.append(0.0 if is_inside((0.0, 0.0), flat) else edge_distance_m((0.0, 0.0), flat))
    for line in off.lines:
        flat_line = here.ring(line)
        ends = zip(flat_line, flat_line[1:] or flat_line, strict=False)
        found += [distance_m((0.0, 0.0), a, b) for a, b in ends]
    return min(found) / M_PER_FT.value


def near(point: LatLon, off_ft: float, buffers: Iterable[Buffer], reach_ft: float = 0.0) -> tuple[Near, ...]:
    """What a point is within the buffer of, or within ``reach_ft`` (what a sheet asks for), nearest first."""
    found = []
    for one in buffers:
        setback = float(one.setback_ft or 0)
        feet = distance_to_feature_ft(point, keep_off(one)) if one.outline else float("inf")
        told = Near(one.id, one.name, one.around, feet, setback, off_ft)
        if told.inside or feet < reach_ft:
            found.append(told)
    return tuple(sorted(found, key=lambda one: (one.distance_ft, str(one.buffer))))


def over_sheets(sheets: Sequence[Sheet], subject: str, told: Iterable[Near]) -> Iterator[Finding]:
    """What the sheets say of these distances, over and above the farm's own buffers."""
    reaches = [
        Reach(subject, feature, one.distance_ft, one.off_by_ft)
        for one in told
        if (feature := FEATURE_OF.get(one.around)) is not None
    ]
    return iter(setbacks(sheets, reaches))
