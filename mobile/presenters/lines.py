"""What a presenter hands its screen: ready strings, nothing to work out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RowView:
    """A line of the ledger. ``key`` comes back with the tap."""

    key: str
    label: str
    value: str = ""
    wrong: bool = False
    struck: bool = False
    value_struck: bool = False
    stacked: bool = False
    heavy: bool = False
    plain: bool = False
    """Only to be read: a tap on it does nothing."""


@dataclass(frozen=True, slots=True)
class KeyView:
    """A key of the foot or among choices."""

    key: str
    text: str
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class SaidView:
    """What was just said: ``undo`` the word of its key, empty where it can't be undone."""

    text: str
    undo: str = ""
    wrong: bool = False


@dataclass(frozen=True, slots=True)
class ChoiceView:
    """A question with its choices; ``chosen`` the names of those picked; ``most`` so many side by side."""

    key: str
    question: str
    options: tuple[tuple[str, str], ...]
    chosen: tuple[str, ...] = ()
    most: int = 3


@dataclass(frozen=True, slots=True)
class SlotView:
    """A figure to be written: the ``active`` one takes the pad's keys."""

    key: str
    last: str
    figure: str
    unit: str
    active: bool = True
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class WayView:
    """The way to the next stop; ``turn_deg`` None where it can't be pointed out."""

    steps: str
    to: str
    turn_deg: float | None = None


@dataclass(frozen=True, slots=True)
class TypedView:
    """A line to be typed, with its label. ``tall`` is for several lines of words."""

    key: str
    label: str
    text: str = ""
    tall: bool = False


@dataclass(frozen=True, slots=True)
class TextView:
    """A paragraph to be read; ``wrong`` in red with the drawn mark; ``figure`` sets it as a figure."""

    key: str
    text: str
    wrong: bool = False
    bold: bool = False
    figure: bool = False


@dataclass(frozen=True, slots=True)
class TruckView:
    """A truck in its fixed place. ``key`` comes back with the tap; ``back`` is the word of the key beside it."""

    key: str
    label: str
    under: str
    back: str
    open: bool = False
    wrong: bool = False


LineView = RowView | ChoiceView | TypedView | TextView | TruckView


@dataclass(frozen=True, slots=True)
class FormView:
    """A page of lines with keys at its foot. ``notice`` is wrong and red, ``caution`` to know. With ``slots`` the
    pad stands below the lines. ``tight``: lines that fit go into two columns on a short screen."""

    title: str
    under: str = ""
    lines: tuple[LineView, ...] = ()
    said: SaidView | None = None
    notice: str = ""
    caution: str = ""
    slots: tuple[SlotView, ...] = ()
    mark: str = ""
    rub_out: str = ""
    foot: str = ""
    back: str = ""
    extra: str = ""
    save: str = ""
    further: str = ""
    back_up: str = ""
    tight: bool = False
    go_on: str = ""
    """The word of the heavy key where the figures must be keyed in before it can be saved."""
    pad: str = ""
    """The word of a key of its own that goes to the figures, where they may be left out."""
