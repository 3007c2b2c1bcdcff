"""A phone without a screen in a process of its own: it saves and hands in without end, and tells what it shows. Its
storage, actions and transport are the app's."""

from __future__ import annotations

import time
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from mobile.actions.hand_in import hand_in
from mobile.device.chance import SystemChance
from mobile.device.clock import SystemClock
from mobile.device.fake import FakeCamera, FakeConnectivity, FakeHaptics, FixedPosition
from mobile.ports import Phone
from mobile.storage import PhoneBook
from mobile.transport.http_server import HttpServer
from tests.mobile.kit import cover

REST_S = 0.05
"""How long this phone backs off, where the app's would wait for seconds."""


class Telling(HttpServer):
    """The app's own transport, that says when a push goes off and when its answer is there."""

    def __init__(self, tell: Connection | None = None) -> None:
        super().__init__("0.1.0")
        self._tell = tell

    def push(self, link: Any, body: bytes) -> Any:
        if self._tell is None:
            return super().push(link, body)
        self._tell.send(("push", ""))
        reply = super().push(link, body)
        if reply.heard != "no_answer":
            self._tell.send(("heard", ""))
        return reply


def made(file: Path, server: HttpServer) -> Phone:
    return Phone(
        book=PhoneBook(file),
        server=server,
        receiver=FixedPosition(),
        clock=SystemClock(),
        chance=SystemChance(),
        camera=FakeCamera(),
        connectivity=FakeConnectivity(),
        haptics=FakeHaptics(),
        label="killed",
    )


def live(file: str, tell: Connection) -> None:
    """Until somebody kills it."""
    phone = made(Path(file), Telling(tell))
    at = phone.book.enrolments()[0].id
    while True:
        for _ in range(1 + phone.chance.bytes(1)[0] % 4):
            tell.send(("saved", cover(phone, at).sha))
        if not hand_in(phone, at).is_whole:
            time.sleep(REST_S)
