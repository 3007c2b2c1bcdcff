"""What the gate's screen shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mobile.presenters.lines import ChoiceView, LineView, SaidView, SlotView

Face = Literal["trucks", "closer", "turn_back", "fields", "new_truck", "fill"]
"""*trucks*: every truck in its place. *closer*: what a closer look showed. *turn_back*: the reasons. *fields*: which
field receives. *new_truck*: one not seen before. *fill*: how full, on the pad."""


@dataclass(frozen=True, slots=True)
class GroundView:
    """The field that receives: yards left, loads like the last, the ground's word and its age."""

    room: str
    under: str
    wrong: bool = False


@dataclass(frozen=True, slots=True)
class LoadView:
    """The truck that is open: what is filled in, the fill chips, what was seen."""

    truck: str
    fills: ChoiceView
    seen: ChoiceView
    dead: bool = True
    """Nothing is taken before it is said how full it was."""


@dataclass(frozen=True, slots=True)
class GateView:
    face: Face
    title: str
    under: str
    back: str
    further: str
    back_up: str
    save: str = ""
    ground: GroundView | None = None
    said: SaidView | None = None
    lines: tuple[LineView, ...] = ()
    load: LoadView | None = None
    notice: str = ""
    caution: str = ""
    slots: tuple[SlotView, ...] = ()
    mark: str = ""
    rub_out: str = ""
    foot: str = ""
    extra: str = ""
