"""What every screen shares: it has a presenter, and shows what the presenter hands it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.uix.screenmanager import Screen
from kivy.uix.widget import Widget

from mobile.presenters.lines import ChoiceView, RowView, SaidView, SlotView
from mobile.widgets.asked import Asked
from mobile.widgets.figure import Figure
from mobile.widgets.row import Row
from mobile.widgets.said import Said


def layout(module: str) -> None:
    """Load the kv that stands beside a screen's module, once."""
    path = str(Path(module).with_suffix(".kv"))
    if path not in Builder.files:
        Builder.load_file(path)


class Presented(Screen):
    """``refresh`` asks the presenter for its view and puts it into the widgets."""

    def __init__(self, presenter: Any, **more: Any) -> None:
        self.presenter = presenter
        super().__init__(**more)
        presenter.changed = self.refresh

    def on_pre_enter(self, *_: object) -> None:
        self.refresh()

    def refresh(self) -> None:
        self.render(self.presenter.view())

    def render(self, view: Any) -> None:
        raise NotImplementedError


def rows(views: Iterable[RowView], prefix: str, tapped: Callable[[str], None]) -> list[Widget]:
    """The lines of a list, each of which tells its key."""
    return [_row(view, prefix, tapped) for view in views]


def _row(view: RowView, prefix: str, tapped: Callable[[str], None]) -> Row:
    row = Row(
        label=view.label,
        value=view.value,
        wrong=view.wrong,
        struck=view.struck,
        stacked=view.stacked,
        heavy=view.heavy,
        name="" if view.plain else f"{prefix}.{view.key}",
    )
    if view.plain:
        row.inert = True
    else:
        row.bind(on_release=lambda _: tapped(view.key))
    return row


def say(said: Said, view: SaidView | None) -> None:
    if view is not None:
        said.text, said.undo, said.wrong = view.text, view.undo, view.wrong


def questions(views: Iterable[ChoiceView], prefix: str, picked: Callable[[str, str], None]) -> list[Widget]:
    """Questions with their choices, each of which tells its question and its name."""
    return [_asked(view, prefix, picked) for view in views]


def _asked(view: ChoiceView, prefix: str, picked: Callable[[str, str], None]) -> Asked:
    asked = Asked(question=view.question, prefix=f"{prefix}.{view.key}", most=view.most)
    asked.offer(view.options, view.chosen)
    asked.bind(on_pick=lambda _, name: picked(view.key, name))
    return asked


def slots(holder: Widget, views: tuple[SlotView, ...], picked: Callable[[str], None]) -> None:
    """The figures side by side; the one being written has the rule below it."""
    have = [child for child in reversed(holder.children) if isinstance(child, Figure)]
    if [figure.name for figure in have] != [f"slot.{view.key}" for view in views]:
        holder.clear_widgets()
        have = [_slot(view, len(views) > 1, picked) for view in views]
        for figure in have:
            holder.add_widget(figure)
    for figure, view in zip(have, views, strict=True):
        figure.last, figure.figure, figure.unit, figure.wrong = view.last, view.figure, view.unit, view.wrong
        figure.chosen = view.active and len(views) > 1


def _slot(view: SlotView, small: bool, picked: Callable[[str], None]) -> Figure:
    figure = Figure(name=f"slot.{view.key}", small=small)
    figure.bind(on_release=lambda _: picked(view.key))
    return figure
