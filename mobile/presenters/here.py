"""Here: the field you stand in, what is next in it, and what can be written."""

from __future__ import annotations

from dataclasses import dataclass

from mobile.presenters.lines import RowView, SaidView


@dataclass(frozen=True, slots=True)
class DueView:
    """The heaviest block: the job with how late it is, why, and the word of the key beside it."""

    job: str
    why: str
    cant: str


@dataclass(frozen=True, slots=True)
class HereView:
    title: str
    under: str
    rows: tuple[RowView, ...]
    foot: tuple[str, str, str]
    waiting: str
    further: str
    back_up: str
    due: DueView | None = None
    gate: str = ""
    said: SaidView | None = None
