"""The app: which screen stands on the glass, starting, pausing, resuming."""

from __future__ import annotations

import gc
import importlib
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.screenmanager import NoTransition, ScreenManager
from kivy.uix.widget import Widget

from mobile.actions.by_light import BY_LIGHT, ByLight
from mobile.actions.sending import Sending
from mobile.actions.sparing import SparingReceiver
from mobile.ports import Phone
from mobile.presenters.more import SCALE_SETTING, theme_chosen
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.screens.presented import Presented
from mobile.theme import THEMES
from mobile.widgets.aloud import Aloud
from mobile.widgets.look import look
from mobile.widgets.report import Report

SCREENS = {
    "first_run": ("form.Form", "first_run.FirstRunPresenter"),
    "who": ("form.Form", "who.WhoPresenter"),
    "here": ("here.Here", "here.HerePresenter"),
    "round": ("round.Round", "round.RoundPresenter"),
    "gate": ("gate.Gate", "gate.GatePresenter"),
    "gate_field": ("form.Form", "gate_places.GateFieldPresenter"),
    "gate_count": ("form.Form", "gate_count.CountPresenter"),
    "agreed": ("form.Form", "gate_count.AgreedPresenter"),
    "ticket": ("form.Form", "ticket.TicketPresenter"),
    "found": ("form.Form", "found.FoundPresenter"),
    "load_to": ("form.Form", "gate_split.SplitPresenter"),
    "in_place": ("form.Form", "in_place.InPlacePresenter"),
    "load_correct": ("form.Form", "load_correct.LoadCorrectPresenter"),
    "turn_back": ("form.Form", "gate_forms.TurnBackPresenter"),
    "closer": ("form.Form", "gate_forms.CloserPresenter"),
    "new_truck": ("form.Form", "gate_places.NewTruckPresenter"),
    "wrote": ("form.Form", "wrote.WrotePresenter"),
    "entry": ("form.Form", "entry.EntryPresenter"),
    "answer": ("form.Form", "answer.AnswerPresenter"),
    "hand_in": ("form.Form", "hand_in.HandInPresenter"),
    "more": ("form.Form", "more.MorePresenter"),
    "next_jobs": ("form.Form", "next_jobs.NextJobsPresenter"),
    "looks": ("form.Form", "more.LooksPresenter"),
    "ground": ("form.Form", "ground.GroundPresenter"),
    "work": ("form.Form", "work.WorkPresenter"),
    "note": ("form.Form", "note.NotePresenter"),
    "sample": ("form.Form", "sample.SamplePresenter"),
    "reckoner": ("form.Form", "reckoner.ReckonerPresenter"),
    "map": ("map.Map", "map.MapPresenter"),
}
"""The screen and the presenter of each name. They come in when they are first shown, or while nothing else is to be
done: the first screen waits for no other."""
TICK_S = 1.0
BRING_S = 0.02
SEND_FROM_S = 0.3
"""What waits is handed in once the first screen stands."""
WATCHED = ("round", "map")
"""Screens that want the position all the while: the way to a stop, the spot that moves."""
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


def _brought(folder: str, named: str) -> Any:
    """A class of a screen or a presenter, its module brought in at need."""
    module, _, name = named.partition(".")
    return getattr(importlib.import_module(f"mobile.{folder}.{module}"), name)


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
        self._to_bring = [
            pair for names in SCREENS.values() for pair in zip(("screens", "presenters"), names, strict=True)
        ]
        self.by_light = ByLight()
        self.aloud = Aloud(self._speakable, self._speak)
        self.report = Report(settings.report) if settings.report is not None else None

    def load_kv(self, filename: str | None = None) -> bool:
        """Each screen loads its own kv."""
        return False

    def build(self) -> ScreenManager:
        self._look()
        Window.clearcolor = look.paper
        Window.bind(on_key_down=self._on_key, on_touch_down=self._on_touch)
        Window.bind(on_touch_move=self._on_move, on_touch_up=self._on_release)
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
        theme, scale = theme_chosen(self.phone), float(book.setting(SCALE_SETTING) or "1.0")
        theme = self.by_light.theme if theme == BY_LIGHT else theme
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
        stands = self.manager.current == name
        screen = self._screen(name)
        if stands:
            screen.refresh()
        self.manager.current = name

    def _presenter(self, name: str) -> Presenter:
        if name not in self.presenters:
            self.presenters[name] = _brought("presenters", SCREENS[name][1])(self.session)
            if name == "first_run":
                self.presenters[name].write("address", self.settings.server)
                self.presenters[name].write("code", self.settings.code)
        return self.presenters[name]

    def _screen(self, name: str) -> Presented:
        if not self.manager.has_screen(name):
            self.manager.add_widget(_brought("screens", SCREENS[name][0])(self._presenter(name), name=name))
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

    def _speakable(self) -> Widget | None:
        """The screen whose sentences may be read aloud: not the one where four digits are keyed in."""
        return self.manager.current_screen if self.manager.current != "who" else None

    def _speak(self, text: str) -> bool:
        return self.phone.senses.voice.speak(text, self.session.language)

    def _on_touch(self, _: object, touch: Any) -> bool:
        if isinstance(self.phone.receiver, SparingReceiver):
            self.phone.receiver.touched()
        self.aloud.down(touch)
        return False

    def _on_move(self, _: object, touch: Any) -> bool:
        self.aloud.moved(touch)
        return False

    def _on_release(self, *_: object) -> bool:
        self.aloud.let_go()
        return False

    def _follow_light(self) -> None:
        """The look turns with the light where nothing is being written."""
        lux = self.phone.senses.light.lux() if self.manager.current == "here" else None
        if lux is not None and theme_chosen(self.phone) == BY_LIGHT and self.by_light.told(lux):
            self.wear()

    def _link_opened(self, link: str) -> None:
        """A slip's link, from the phone's camera: it is shown and joins nothing until somebody says so."""
        self.session.facts["link"] = link
        self.go("first_run")

    def _tick(self, _: float) -> None:
        if isinstance(self.phone.receiver, SparingReceiver):
            self.phone.receiver.watched(self.manager.current in WATCHED)
        self._follow_light()
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

    def _bring_next(self, _: float) -> bool:
        """One module a turn of the loop, so that no tap has to wait for it. False once all are in."""
        folder, named = self._to_bring.pop(0)
        _brought(folder, named)
        if not self._to_bring:
            # All of this stays: else the collector goes through it again and again, in the middle of a tap.
            gc.collect()
            gc.freeze()
        return bool(self._to_bring)

    def on_start(self) -> None:
        Window.bind(on_flip=self._stands)
        self.phone.receiver.start()
        self.phone.senses.light.start()
        self.phone.senses.opened.listen(
            lambda link: Clock.schedule_once(lambda _: self._link_opened(link), 0)
        )
        if self.settings.code and not self.session.is_joined:
            self._presenter("first_run").save()

    def _stands(self, *_: object) -> None:
        """The first frame is on the glass: what it did not wait for comes in now."""
        Window.unbind(on_flip=self._stands)
        gc.enable()
        Clock.schedule_interval(self._bring_next, BRING_S)
        if self.sending is not None:
            Clock.schedule_once(lambda _: self.sending.start(), SEND_FROM_S)

    def on_pause(self) -> bool:
        """Every save is on the disk already: there is nothing to keep."""
        self.phone.receiver.stop()
        self.phone.senses.light.stop()
        return True

    def on_resume(self) -> None:
        self.phone.receiver.start()
        self.phone.senses.light.start()
        if self.sending is not None:
            self.sending.network_is_back()

    def on_stop(self) -> None:
        self.phone.receiver.stop()
        self.phone.senses.light.stop()
        if self.sending is not None:
            self.sending.stop()
