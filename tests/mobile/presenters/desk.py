"""A session without a screen: the phone of the tests in a farm with land, and what a presenter asked to be shown."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from mobile.actions.choose_person import choose_person, people
from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_slip
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from tests.mobile.fake_server import ADDRESS, FakeServer
from tests.mobile.farmland import spot, stock
from tests.mobile.kit import a_phone

CODE = "7K2MPQX4RD"


def at_once(call: Callable[[], Any], done: Callable[[Any, Exception | None], None]) -> None:
    """What would run away from the screen's thread runs here."""
    try:
        answer = call()
    except Exception as error:
        done(None, error)
    else:
        done(answer, None)


class Desk:
    """``seed`` parts one phone's chances from another's; a second phone is given the first one's server."""

    def __init__(
        self,
        folder: Path,
        language: str = "en",
        joined: bool = True,
        seed: int = 1,
        server: FakeServer | None = None,
    ) -> None:
        self.server = server or FakeServer()
        self.farm = next(iter(self.server.state.farms.values())) if server else self.server.found()
        if server is None:
            stock(self.farm)
            self.server.slip(self.farm, CODE)
        self.phone = a_phone(folder, self.server, seed=seed, name=f"phone{seed}")
        self.clock: Any = self.phone.clock
        self.receiver: Any = self.phone.receiver
        self.shown: list[str] = []
        self.worn = 0
        self.session = Session(
            self.phone, self.shown.append, at_once, self._wear, locale=language, folder=folder
        )
        if joined:
            self.join(language)

    def _wear(self) -> None:
        self.worn += 1

    def join(self, language: str = "en") -> None:
        id = join(self.phone, read_slip(CODE, ADDRESS)).id
        choose_person(
            self.phone, id, next(one for one in people(self.phone, id) if one.language == language).id
        )
        hand_in(self.phone, id)

    def stand(self, x_m: float, y_m: float, r68_m: str = "3", course_deg: float | None = None) -> None:
        self.receiver.stand(*spot(x_m, y_m), r68_m, course_deg)

    def opened(self, presenter: Presenter, **facts: Any) -> Any:
        """A presenter as its screen would open it."""
        self.session.facts.update(facts)
        presenter.entered()
        return presenter

    def key_in(self, presenter: Any, figure: str) -> None:
        for digit in figure:
            presenter.key("mark" if digit == "." else digit)

    def bodies(self, kind: str) -> list[Any]:
        lines = self.phone.book.written(self.session.enrolment, None, 500)
        return [line.entry.body for line in reversed(lines) if line.entry.kind == kind]
