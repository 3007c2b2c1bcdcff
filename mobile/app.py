"""The app: which screen stands on the glass, starting, pausing, resuming."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.screenmanager import NoTransition, ScreenManager

from mobile.actions.sending import Sending
from mobile.ports import Phone
from mobile.presenters.answer import AnswerPresenter
from mobile.presenters.entry import EntryPresenter
from mobile.presenters.first_run import FirstRunPresenter
from mobile.presenters.gate import GatePresenter
from mobile.presenters.gate_forms import CloserPresenter, TurnBackPresenter
from mobile.presenters.gate_places import GateFieldPresenter, NewTruckPresenter
from mobile.presenters.ground import GroundPresenter
from mobile.presenters.hand_in import HandInPresenter
from mobile.presenters.here import HerePresenter
from mobile.presenters.map import MapPresenter
from mobile.presenters.more import SCALE_SETTING, THEME_SETTING, LooksPresenter, MorePresenter
from mobile.presenters.note import NotePresenter
from mobile.presenters.presenter import Presenter
from mobile.presenters.reckoner import ReckonerPresenter
from mobile.presenters.round import RoundPresenter
from mobile.presenters.sample import SamplePresenter
from mobile.presenters.session import Session
from mobile.presenters.who import WhoPresenter
from mobile.presenters.work import WorkPresenter
from mobile.presenters.wrote import WrotePresenter
from mobile.screens.form import Form
from mobile.screens.gate import Gate
from mobile.screens.here import Here
from mobile.screens.map import Map
from mobile.screens.presented import Presented
from mobile.screens.round import Round
from mobile.theme import THEMES
from mobile.widgets.look import look
from mobile.widgets.report import Report

SCREENS: dict[str, tuple[type[Presented], Callable[[Session], Presenter]]] = {
    "first_run": (Form, FirstRunPresenter),
    "who": (Form, WhoPresenter),
    "here": (Here, HerePresenter),
    "round": (Round, RoundPresenter),
    "gate": (Gate, GatePresenter),
    "gate_field": (Form, GateFieldPresenter),
    "turn_back": (Form, TurnBackPresenter),
    "closer": (Form, CloserPresenter),
    "new_truck": (Form, NewTruckPresenter),
    "wrote": (Form, WrotePresenter),
    "entry": (Form, EntryPresenter),
    "answer": (Form, AnswerPresenter),
    "hand_in": (Form, HandInPresenter),
    "more": (Form, MorePresenter),
    "looks": (Form, LooksPresenter),
    "ground": (Form, GroundPresenter),
    "work": (Form, WorkPresenter),
    "note": (Form, NotePresenter),
    "sample": (Form, SamplePresenter),
    "reckoner": (Form, ReckonerPresenter),
    "map": (Map, MapPresenter),
}
TICK_S = 1.0
BACK_KEYS = (27, 1001)
SAVE_KEYS = (24, 25)
"""A volume key saves, for when rain blinds the glass."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What the command line says: the server's address to begin with, the code of a joining slip that joins at
    once, the language of the phone, where to report what can be tapped, whether the outbox empties by itself, the
    folder for pictures and carry files."""

    server: str = ""
    code: str = ""
    locale: str = "en"
    report: Path | None = None
    sends: bool = True
    folder: Path = Path()


class GoodgroundApp(App):
    """Screens are made when they are first shown, and anew when the theme, the size or the language changes."""

    title = "Goodground"

    def __init__(self, phone: Phone, settings: Settings = Settings(), **more: Any) -> None:
        super().__init__(**more)
        self.phone = phone
        self.settings = settings
        self.sending = Sending(phone) if settings.sends else None
        self.session = Session(
            phone, self.go, self.away, self.wear, self.sending, settings.locale, settings.folder
        )
        self.presenters: dict[str, Presenter] = {}
        self.manager = ScreenManager(transition=NoTransition())
        self.report = Report(settings.report) if settings.report is not None else None

    def load_kv(self, filename: str | None = None) -> bool:
        """Each screen loads its own kv."""
        return False

    def build(self) -> ScreenManager:
        self._look()
        Window.clearcolor = look.paper
        Window.bind(on_key_down=self._on_key)
        self.go(self._first())
        Clock.schedule_interval(self._tick, TICK_S)
        if self.report is not None:
            Clock.schedule_interval(lambda _: self.report and self.report.look(self.manager.current), 0)
        return self.manager

    def _first(self) -> str:
        if not self.session.is_joined:
            return "first_run"
        return "here" if self.session.person is not None else "who"

    def _look(self) -> None:
        book = self.phone.book
        theme, scale = book.setting(THEME_SETTING) or "sun", float(book.setting(SCALE_SETTING) or "1.0")
        look.wear(theme if theme in THEMES else "sun", min(2.0, max(1.0, scale)))

    def wear(self) -> None:
        """Take the theme, the size and the language as they now are: all screens are made anew."""
        self._look()
        Window.clearcolor = look.paper
        current = self.manager.current
        self.manager.clear_widgets()
        if current:
            self._screen(current)
            self.manager.current = current

    def go(self, name: str) -> None:
        """Show a screen, by its name."""
        before = self.presenters.get(self.manager.current) if self.manager.current else None
        if before is not None:
            before.left()
        self._presenter(name).entered()
        screen = self._screen(name)
        if self.manager.current == name:
            screen.refresh()
        self.manager.current = name

    def _presenter(self, name: str) -> Presenter:
        if name not in self.presenters:
            self.presenters[name] = SCREENS[name][1](self.session)
            if name == "first_run":
                self.presenters[name].write("address", self.settings.server)
                self.presenters[name].write("code", self.settings.code)
        return self.presenters[name]

    def _screen(self, name: str) -> Presented:
        if not self.manager.has_screen(name):
            self.manager.add_widget(SCREENS[name][0](self._presenter(name), name=name))
        screen: Presented = self.manager.get_screen(name)
        return screen

    def away(self, call: Callable[[], Any], done: Callable[[Any, Exception | None], None]) -> None:
        """What asks the network never holds up the glass."""

        def run() -> None:
            try:
                answer, error = call(), None
            except Exception as raised:
                answer, error = None, raised
            Clock.schedule_once(lambda _: done(answer, error), 0)

        threading.Thread(target=run, name="away", daemon=True).start()

    def _tick(self, _: float) -> None:
        presenter = self.presenters.get(self.manager.current)
        if presenter is not None:
            presenter.tick()

    def _on_key(self, _: object, key: int, *__: object) -> bool:
        presenter = self.presenters.get(self.manager.current)
        if presenter is None:
            return False
        if key in BACK_KEYS and self.manager.current not in ("here", "first_run"):
            presenter.back()
            return True
        if key in SAVE_KEYS and self.manager.current == "round":
            presenter.save()
            return True
        return False

    def on_start(self) -> None:
        self.phone.receiver.start()
        if self.settings.code and not self.session.is_joined:
            self._presenter("first_run").save()
        if self.sending is not None:
            self.sending.start()

    def on_pause(self) -> bool:
        """Every save is on the disk already: there is nothing to keep."""
        self.phone.receiver.stop()
        return True

    def on_resume(self) -> None:
        self.phone.receiver.start()
        if self.sending is not None:
            self.sending.network_is_back()

    def on_stop(self) -> None:
        self.phone.receiver.stop()
        if self.sending is not None:
            self.sending.stop()
