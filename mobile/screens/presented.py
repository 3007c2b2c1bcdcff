"""What every screen shares: it has a presenter, and shows what the presenter hands it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.uix.screenmanager import Screen

from mobile.presenters.lines import SaidView
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
        self.fresh()
        self.refresh()

    def fresh(self) -> None:
        """What a screen forgets when it comes up anew."""

    def refresh(self) -> None:
        self.render(self.presenter.view())

    def render(self, view: Any) -> None:
        raise NotImplementedError


def say(said: Said, view: SaidView | None) -> None:
    if view is not None:
        said.text, said.undo, said.wrong = view.text, view.undo, view.wrong
