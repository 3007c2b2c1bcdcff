"""What can be measured of a screen: what is clipped, what is too small, what can't be read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kivy.core.window import Window
from kivy.metrics import dp
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from mobile.theme import LEAST_CONTRAST, TARGET_DP, TEXT_SP, contrast
from mobile.widgets.measure import widest_word
from mobile.widgets.report import tappable
from mobile.widgets.typed import Typed


def faults(root: Widget) -> list[str]:
    """Everything that is wrong with what stands on the glass, in words."""
    return [*clipped(root), *small(), *faint(root), *outside(), *covering()]


def labels(root: Widget) -> Iterator[Label]:
    for one in root.walk():
        if isinstance(one, Label) and one.text.strip() and one.get_parent_window() is not None:
            yield one


def clipped(root: Widget) -> Iterator[str]:
    """Text higher than its label or its cell, a word broken in two, a text under 18 sp."""
    for one in labels(root):
        size = one.texture_size
        if size[1] > one.height + 1:
            yield f"{one.text!r} needs {size[1]} px and has {one.height:.0f}"
        if widest_word(one.text, one.font_name, one.font_size) > one.width + 1:
            yield f"{one.text!r} has a word wider than its {one.width:.0f} px"
        if one.font_size < dp(TEXT_SP):
            yield f"{one.text!r} is set in {one.font_size} px"
        cell = one.parent
        if (
            cell is not None
            and not isinstance(cell, ScrollView)
            and (one.top > cell.top + 1 or one.y < cell.y - 1)
        ):
            yield f"{one.text!r} stands out of its cell by {max(one.top - cell.top, cell.y - one.y):.0f} px"


def small() -> Iterator[str]:
    """Targets under 14 mm. What is partly scrolled away is measured whole."""
    least = dp(TARGET_DP) - 1
    for widget, _ in tappable():
        if not isinstance(widget, Typed) and (widget.width < least or widget.height < least):
            yield f"{widget.name} is {widget.width:.0f} by {widget.height:.0f} px"


def outside() -> Iterator[str]:
    for widget, box in tappable():
        if box[0] < -1 or box[1] < -1 or box[2] > Window.width + 1 or box[3] > Window.height + 1:
            yield f"{widget.name} is off the glass"


def covering() -> Iterator[str]:
    """No target lies on another."""
    seen = [(widget, box) for widget, box in tappable()]
    for at, (one, a) in enumerate(seen):
        for other, b in seen[at + 1 :]:
            wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            if wide > 1 and high > 1:
                yield f"{one.name} and {other.name} overlap"


def faint(root: Widget) -> Iterator[str]:
    """Text under 7:1 against the paper it stands on."""
    for one in labels(root):
        paper = ground_of(one)
        ratio = contrast(tuple(one.color), tuple(paper))
        if ratio < LEAST_CONTRAST:
            yield f"{one.text!r} has a contrast of {ratio:.1f}"


def ground_of(widget: Any) -> Any:
    """The paper that a text stands on: that of the nearest piece of paper around it."""
    while widget is not None and not hasattr(widget, "paper"):
        widget = widget.parent if widget.parent is not widget else None
    assert widget is not None, "text on nothing"
    return widget.paper
