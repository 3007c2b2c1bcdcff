"""The desktop trial in the real window: a gpsd tells where one stands, or a click on the map does. A file or pipe of
NMEA sentences is what the other journeys here walk by."""

from __future__ import annotations

import json
import socket
import threading
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, datetime

import pytest
from the_window import SIZE, PhoneWindow

from mobile.main import PHONE_FILE
from mobile.storage import PhoneBook
from tests.mobile.farmland import PLANE
from tests.mobile.presenters.desk import Desk

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("main_job")]
EVERY_S = 0.2


class Daemon:
    """Speaks as gpsd does, to whoever asks, always of the same place."""

    def __init__(self, at: tuple[float, float]) -> None:
        self.at = at
        self.listening = socket.create_server(("127.0.0.1", 0))
        self.port = self.listening.getsockname()[1]
        self.ended = threading.Event()
        self.thread = threading.Thread(target=self._serve, daemon=True)
        self.thread.start()

    def _serve(self) -> None:
        with suppress(OSError):
            peer, _ = self.listening.accept()
            with peer:
                while not self.ended.wait(EVERY_S):
                    peer.sendall(self._report())

    def _report(self) -> bytes:
        lat, lon = self.at
        at = f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%S.000Z}"
        told = {"class": "TPV", "mode": 3, "time": at, "lat": lat, "lon": lon, "eph": 4.0}
        return json.dumps(told).encode() + b"\r\n"

    def end(self) -> None:
        self.ended.set()
        self.listening.close()
        self.thread.join(2)


@pytest.fixture
def daemon() -> Iterator[Daemon]:
    made = Daemon(PLANE.point((80, 60)))
    yield made
    made.end()


def in_use(phone: PhoneWindow) -> None:
    """The phone joined, with the land, given to somebody."""
    folder = phone.folder / "phone"
    folder.mkdir(parents=True)
    desk = Desk(folder)
    desk.phone.book.close()
    for file in folder.glob("phone1.sqlite*"):
        file.rename(folder / file.name.replace("phone1.sqlite", PHONE_FILE))


def test_a_gpsd_tells_the_field(phone: PhoneWindow, daemon: Daemon) -> None:
    in_use(phone)
    phone.start("--gpsd", f"127.0.0.1:{daemon.port}")
    phone.thing("here.cover")
    phone.shows("Spring Piece")


def test_a_click_on_the_map_is_where_one_stands_and_two_people_share_the_phone(
    phone: PhoneWindow,
) -> None:
    """One writes where they clicked; the phone goes to another by four digits, and each entry is its maker's."""
    in_use(phone)
    phone.start("--click")
    phone.tap("here.more")
    phone.tap("more.map")
    phone.screen("map")
    width, _, height = SIZE.partition("x")
    phone.click(int(width) // 2 + 60, int(height) // 2 - 30)
    phone.tap("map.back")
    phone.tap("more.back")
    phone.thing("here.cover")
    phone.shows("Quarry Side")
    writes(phone, "post leans")
    phone.tap("here.more")
    reach(phone, "more.who")
    for digit in "1407":
        phone.tap(f"pad.{digit}")
    phone.screen("here")
    writes(phone, "la puerta")
    phone.end()

    book = PhoneBook(phone.folder / "phone" / PHONE_FILE)
    enrolment = book.enrolments()[0].id
    second, first = (line.entry for line in book.written(enrolment, None, 2))
    assert first.by != second.by
    assert (first.body.text, second.body.text) == ("post leans", "la puerta")  # type: ignore[attr-defined]
    assert first.at is not None
    assert first.at.source == "map"
    book.close()


def writes(phone: PhoneWindow, words: str) -> None:
    phone.tap("here.note")
    phone.type("note.text", words)
    phone.tap("note.save")
    phone.screen("here")


def reach(phone: PhoneWindow, name: str) -> None:
    """A tap on a line that may be further down the page."""
    seen = phone.screen(name.partition(".")[0])
    if not any(one["id"] == name for one in seen["things"]):
        phone.tap("further")
    phone.tap(name)
