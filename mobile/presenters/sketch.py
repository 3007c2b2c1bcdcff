"""The field as drawn on the phone: its shape, what keeps leaves off, the stops, you. In metres, north up."""

from __future__ import annotations

from dataclasses import dataclass

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class StopView:
    number: str
    x_m: float
    y_m: float
    done: bool = False
    next: bool = False


@dataclass(frozen=True, slots=True)
class NamedShape:
    """``under`` stands below the name where there is room."""

    name: str
    points: Points
    key: str = ""
    heavy: bool = False
    under: str = ""


@dataclass(frozen=True, slots=True)
class SketchView:
    """``x_m`` to the east, ``y_m`` to the north of a point of its own. ``buffers`` are what leaves keep off,
    ``setbacks`` how far off."""

    shapes: tuple[NamedShape, ...] = ()
    buffers: tuple[Points, ...] = ()
    setbacks: tuple[Points, ...] = ()
    stops: tuple[StopView, ...] = ()
    you: tuple[float, float] | None = None
    you_r_m: float = 0.0
    north: str = "N"
