"""What the round's screen shows."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from mobile.presenters.lines import ChoiceView, RowView, SaidView, SlotView, WayView
from mobile.presenters.sketch import SketchView

Face = Literal["once", "stop", "plan", "done"]
"""*once*: what is asked once a round. *stop*: a stop being written. *plan*: the field with its stops. *done*: how
the round came out."""


@dataclass(frozen=True, slots=True)
class RoundView:
    face: Face
    title: str
    under: str
    save: str
    back: str
    go_on: str
    further: str
    back_up: str
    way: WayView | None = None
    said: SaidView | None = None
    slots: tuple[SlotView, ...] = ()
    choices: tuple[ChoiceView, ...] = ()
    mark: str = ""
    rub_out: str = ""
    notice: str = ""
    rows: tuple[RowView, ...] = ()
    sketch: SketchView = field(default_factory=SketchView)
    extra: str = ""
    """The word of a second key beside save: more stops, end the round."""
