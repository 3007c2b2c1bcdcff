"""What the gate's screen shows."""

from __future__ import annotations

from dataclasses import dataclass

from mobile.presenters.lines import ChoiceView, LineView, SaidView


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
    under: str
    fills: ChoiceView
    seen: ChoiceView
    dead: bool = True
    """Nothing is taken before it is said how full it was."""


@dataclass(frozen=True, slots=True)
class GateView:
    title: str
    under: str
    back: str
    save: str
    further: str
    back_up: str
    ground: GroundView
    lines: tuple[LineView, ...] = ()
    said: SaidView | None = None
    load: LoadView | None = None
    notice: str = ""
    caution: str = ""
    foot: str = ""
    extra: str = ""
    count: str = ""
