"""The whole app on the glass: real storage, presenters and screens; a fake device and a server in memory."""

from __future__ import annotations

import gc
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Any

import requests
from kivy.core.window import Window

from mobile.actions.choose_person import choose_person, people
from mobile.actions.join import join, read_slip
from mobile.app import GoodgroundApp, Settings
from tests.mobile import glass
from tests.mobile.fake_server import ADDRESS, Answer, FakeServer
from tests.mobile.farmland import spot, stock
from tests.mobile.glass import Hand
from tests.mobile.kit import a_phone

CODE = "7K2MPQX4RD"

# All of the app is in by now and stays: else the collector goes through it with every few widgets that are made.
gc.collect()
gc.freeze()
gc.set_threshold(20_000, 10, 10)


class Stage:
    """A farm with land on the server, a phone, and the app once it is opened."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.server = FakeServer()
        self.farm = self.server.found()
        stock(self.farm)
        self.server.slip(self.farm, CODE)
        self.is_reachable = True
        self.phone = a_phone(folder, self.server, self._between)
        self.clock: Any = self.phone.clock
        self.receiver: Any = self.phone.receiver
        self.hand = Hand()
        self.app: GoodgroundApp | None = None

    def _between(self, request: requests.PreparedRequest, go: Callable[[], Answer]) -> Answer:
        if not self.is_reachable:
            raise requests.ConnectionError("no network here")
        return go()

    def joined(self, language: str = "en", fetched: bool = True) -> Stage:
        """In the farm, with somebody writing who speaks this language."""
        join(self.phone, read_slip(CODE, ADDRESS))
        self.writes(language)
        if fetched:
            self.hand_in()
        return self

    def writes(self, language: str) -> None:
        """Who speaks this language takes the phone."""
        writer = next(one for one in people(self.phone, self.enrolment) if one.language == language)
        choose_person(self.phone, self.enrolment, writer.id)

    def redraw(self) -> None:
        """All screens anew, as after a change of look or language."""
        assert self.app is not None
        self.app.wear()
        self.hand.settle()

    def hand_in(self) -> None:
        """A whole pass with the server, as the background would make it."""
        from mobile.actions.hand_in import hand_in

        hand_in(self.phone, self.enrolment)

    @property
    def enrolment(self) -> int:
        return self.phone.book.enrolments()[0].id

    def stand(self, x_m: float, y_m: float, r68_m: str = "3", course_deg: float | None = None) -> None:
        self.receiver.stand(*spot(x_m, y_m), r68_m, course_deg)

    def wear(self, theme: str = "sun", scale: str = "1.0") -> None:
        self.phone.book.keep_setting("theme", theme)
        self.phone.book.keep_setting("scale", scale)

    def __enter__(self) -> Stage:
        self.open()
        return self

    def open(self) -> None:
        glass.wake()
        for child in Window.children[:]:
            Window.remove_widget(child)
        self.app = GoodgroundApp(self.phone, Settings(server=ADDRESS, folder=self.folder))
        root = self.app.build()
        Window.add_widget(root)
        self.hand.settle()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        from kivy.clock import Clock

        if self.app is not None:
            Clock.unschedule(self.app._tick)
            self.app.aloud.let_go()
            Window.unbind(on_key_down=self.app._on_key, on_touch_down=self.app._on_touch)
            Window.unbind(on_touch_move=self.app._on_move, on_touch_up=self.app._on_release)
            Window.remove_widget(self.app.manager)
            self.app = None

    def go(self, name: str) -> None:
        assert self.app is not None
        self.app.go(name)
        self.hand.settle()

    def tick(self) -> None:
        assert self.app is not None
        self.app._tick(0)
        self.hand.settle()

    @property
    def screen(self) -> str:
        assert self.app is not None
        current: str = self.app.manager.current
        return current

    def texts(self) -> list[str]:
        """Every word that stands on the glass."""
        from kivy.uix.label import Label

        assert self.app is not None
        return [
            one.text for one in self.app.manager.current_screen.walk() if isinstance(one, Label) and one.text
        ]

    def says(self, part: str) -> bool:
        return any(part in text for text in self.texts())

    def shot(self, file: Path) -> None:
        self.hand.settle()
        assert self.app is not None
        self.app.manager.export_to_png(str(file))

    def bodies(self, kind: str) -> list[Any]:
        """What this phone wrote of a kind, oldest first."""
        lines = self.phone.book.written(self.enrolment, None, 500)
        return [line.entry.body for line in reversed(lines) if line.entry.kind == kind]
