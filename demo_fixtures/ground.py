"""From the farm's own plan, in metres east and north of a peg, to degrees and back.

Over the few hundred metres of a farm the ellipsoid is a plane to within a few parts in a million: one radius
for north, one for east (WGS84, semi-axis 6,378,137 m, flattening 1/298.257223563).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal

from shared.words.place import Ring

PEG = (40.4387000, -74.9712000)
"""Latitude and longitude of the peg at the gate. Open country; the farm is invented."""
TURNED = math.radians(14.0)
"""The plan's east lies this much north of true east, so that no hedge runs along a meridian."""

_AXIS_M, _FLATTENING = 6_378_137.0, 1 / 298.257223563
_E2 = _FLATTENING * (2 - _FLATTENING)
_W = math.sqrt(1 - _E2 * math.sin(math.radians(PEG[0])) ** 2)
NORTH_M = math.radians(1) * _AXIS_M * (1 - _E2) / _W**3
EAST_M = math.radians(1) * _AXIS_M / _W * math.cos(math.radians(PEG[0]))
"""Metres a degree at the peg."""

Spot = tuple[float, float]
"""East and north of the peg on the plan, in metres."""


def degrees(spot: Spot) -> tuple[float, float]:
    """Latitude and longitude, to seven places (about a centimetre)."""
    east = spot[0] * math.cos(TURNED) - spot[1] * math.sin(TURNED)
    north = spot[0] * math.sin(TURNED) + spot[1] * math.cos(TURNED)
    return round(PEG[0] + north / NORTH_M, 7), round(PEG[1] + east / EAST_M, 7)


def plan(lat: float, lon: float) -> Spot:
    """The spot on the plan for a latitude and longitude."""
    north, east = (lat - PEG[0]) * NORTH_M, (lon - PEG[1]) * EAST_M
    return (
        east * math.cos(TURNED) + north * math.sin(TURNED),
        north * math.cos(TURNED) - east * math.sin(TURNED),
    )


def ring(spots: Iterable[Spot]) -> Ring:
    """Corners in degrees; the last joins the first."""
    return tuple(degrees(spot) for spot in spots)


def written(corners: Ring) -> tuple[tuple[Decimal, Decimal], ...]:
    """Corners as an entry keeps them."""
    return tuple((Decimal(f"{lat:.7f}"), Decimal(f"{lon:.7f}")) for lat, lon in corners)


def circle(middle: Spot, radius_m: float, corners: int = 16) -> tuple[Spot, ...]:
    """A ring of corners around a spot."""
    turns = [2 * math.pi * place / corners for place in range(corners)]
    return tuple((middle[0] + radius_m * math.cos(a), middle[1] + radius_m * math.sin(a)) for a in turns)
