"""Where something is: a position with its accuracy, a ring of corners, a polygon."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from shared.words.moment import Moment

PositionSource = Literal["gps", "network", "nmea", "gpsd", "browser", "map", "typed"]

Ring = tuple[tuple[float, float], ...]
"""Corners as (latitude, longitude) in degrees, WGS84; the last joins the first and is not repeated."""


@dataclass(frozen=True, slots=True)
class Position:
    """A fix as an entry keeps it. ``r68_m`` is the radius in metres that holds the true place in 68 of 100
    fixes, whatever the receiver's own meaning was; ``source`` says what gave it."""

    lat: Decimal
    lon: Decimal
    r68_m: Decimal | None
    fixed_at: Moment | None
    source: PositionSource


@dataclass(frozen=True, slots=True)
class Polygon:
    """A piece of ground: the outer ring and any holes in it."""

    outer: Ring
    holes: tuple[Ring, ...] = ()


Outline = tuple[Polygon, ...]
"""A field may lie in several pieces."""
