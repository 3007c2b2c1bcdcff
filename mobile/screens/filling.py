"""Lines of a page: made from their views, and changed in place as long as they are the same lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.metrics import dp
from kivy.uix.widget import Widget

from mobile.presenters.lines import (
    ChoiceView,
    LineView,
    RowView,
    SlotView,
    TextView,
    TruckView,
    TypedView,
)
from mobile.widgets.asked import Asked
from mobile.widgets.figure import Figure
from mobile.widgets.look import look
from mobile.widgets.notice import Notice
from mobile.widgets.row import Row
from mobile.widgets.ruled import Ledger, Sheet
from mobile.widgets.scroll import Scroll
from mobile.widgets.slots import Slots
from mobile.widgets.stack import Stack
from mobile.widgets.truck import Truck
from mobile.widgets.typed import Typed
from mobile.widgets.words import Words


class TypedLine(Ledger):
    """A label with the line to be typed below it."""

    def __init__(self, view: TypedView, name: str, **more: Any) -> None:
        super().__init__(**more)
        sheet = Sheet(padding=(look.margin, look.margin * 0.5, look.margin, look.margin * 0.3))
        self.label = Words(font_name=look.bold)
        sheet.add_widget(self.label)
        self.line = Typed(name=name, text=view.text, multiline=view.tall)
        if view.tall:
            self.line.height = max(look.target * 1.6, dp(150))
        self.add_widget(sheet)
        self.add_widget(self.line)


def fill(scroll: Scroll | Stack, views: Sequence[LineView], prefix: str, presenter: Any) -> None:
    """Put the lines into the scroll. Lines that stay keep their widgets, and with them what is being typed."""
    wanted = [(type(view), view.key) for view in views]
    if wanted != scroll.line_keys:
        scroll.line_keys = wanted
        scroll.fill([_made(view, prefix, presenter) for view in views])
        scroll.to_top()
    for widget, view in zip(scroll.rows, views, strict=True):
        _SHOWN[type(view)](widget, view)


def _made(view: LineView, prefix: str, presenter: Any) -> Widget:
    name = f"{prefix}.{view.key}"
    if isinstance(view, RowView):
        row = Row(name="" if view.plain else name)
        if not view.plain:
            row.bind(on_release=lambda _: presenter.tap(view.key))
        return row
    if isinstance(view, ChoiceView):
        asked = Asked(prefix=name, most=view.most)
        asked.bind(on_pick=lambda _, picked: presenter.pick(view.key, picked))
        return asked
    if isinstance(view, TypedView):
        typed = TypedLine(view, name)
        typed.line.bind(text=lambda _, text: presenter.write(view.key, text))
        return typed
    if isinstance(view, TruckView):
        return _truck(view, f"{prefix}.truck.{view.key}", presenter)
    return Notice(wrong=view.wrong)


def _truck(view: TruckView, name: str, presenter: Any) -> Truck:
    truck = Truck(name=name)
    truck.bind(
        on_open=lambda _: presenter.tap_truck(view.key), on_send_back=lambda _: presenter.turn_back(view.key)
    )
    return truck


def _show_row(row: Row, view: RowView) -> None:
    row.inert = view.plain
    row.label, row.value, row.wrong = view.label, view.value, view.wrong
    row.struck, row.value_struck = view.struck, view.value_struck
    row.stacked, row.heavy = view.stacked, view.heavy


def _show_choice(asked: Asked, view: ChoiceView) -> None:
    asked.question = view.question
    asked.offer(view.options, view.chosen)


def _show_typed(typed: TypedLine, view: TypedView) -> None:
    typed.label.text = view.label
    if typed.line.text != view.text:
        typed.line.text = view.text


def _show_text(notice: Notice, view: TextView) -> None:
    notice.text, notice.wrong, notice.bold, notice.figure = view.text, view.wrong, view.bold, view.figure


def _show_truck(truck: Truck, view: TruckView) -> None:
    truck.label, truck.under, truck.back = view.label, view.under, view.back
    truck.opened, truck.wrong = view.open, view.wrong


_SHOWN: dict[type[Any], Callable[[Any, Any], None]] = {
    RowView: _show_row,
    ChoiceView: _show_choice,
    TypedView: _show_typed,
    TextView: _show_text,
    TruckView: _show_truck,
}


def show_slots(holder: Slots, views: tuple[SlotView, ...], picked: Callable[[str], None]) -> None:
    """The figures side by side, the one being written turned over. Where the text is large that one stands alone,
    and a tap on it goes on to the next."""
    several = len(views) > 1
    shown = [view for view in views if view.active] if several and look.large else list(views)
    if [figure.name for figure in holder.figures] != [f"slot.{view.key}" for view in shown]:
        keys = [view.key for view in views]
        goes_to = {key: keys[(at + 1) % len(keys)] for at, key in enumerate(keys)} if look.large else {}
        holder.put([_slot(view.key, goes_to.get(view.key, view.key), several, picked) for view in shown])
    for figure, view in zip(holder.figures, shown, strict=True):
        nth = f"{views.index(view) + 1}/{len(views)} " if several and look.large else ""
        figure.last, figure.figure, figure.unit, figure.wrong = (
            nth + view.last,
            view.figure,
            view.unit,
            view.wrong,
        )
        figure.chosen = view.active and several


def _slot(key: str, goes_to: str, small: bool, picked: Callable[[str], None]) -> Figure:
    figure = Figure(name=f"slot.{key}", small=small)
    figure.bind(on_release=lambda _: picked(goes_to))
    return figure
