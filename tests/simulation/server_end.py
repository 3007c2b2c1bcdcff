"""The real server within this process: its WSGI application on a book of its own, its clock and its chance in the
test's hands, to be crashed at any commit, filled up, backed up and put back."""

from __future__ import annotations

import io
import random
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from django.conf import settings
from django.core.handlers.wsgi import WSGIHandler
from django.db import connection, connections

from server.config import doing
from server.config.place import Place
from server.keeping import backups, restoring
from server.people import clock, ids
from server.people.models import Farm
from tests.mobile.fake_server import Answer
from tests.simulation.stores import Store, forget_connection, used


class Crash(BaseException):
    """A process ends here."""


class Chance:
    """What ``server.people.ids`` draws from, from one seed."""

    def __init__(self, seed: int) -> None:
        self._drawn = random.Random(seed)
        self.choice = self._drawn.choice
        self.randbits = self._drawn.getrandbits

    def token_urlsafe(self, count: int) -> str:
        return self._drawn.randbytes(count).hex()

    token_hex = token_urlsafe


@contextmanager
def a_database_of_its_own() -> Iterator[None]:
    """Gives the process its former database back at the end."""
    before = connection.settings_dict["NAME"], settings.PLACE, clock.source, ids.secrets
    try:
        yield
    finally:
        forget_connection()
        connections["default"].settings_dict["NAME"] = before[0]
        settings.PLACE, clock.source, ids.secrets = before[1:]


@cache
def application() -> WSGIHandler:
    return WSGIHandler()


class ServerEnd:
    """``handle`` is a whole request; ``crash`` arms a crash at one of the next commits."""

    def __init__(self, folder: Path, book: Store, seed: int, now: datetime) -> None:
        self.place = Place(folder)
        folder.mkdir()
        forget_connection()
        self.store = book.begun_from(folder)
        self.now = now
        self.requests = 0
        self.backup: Path | None = None
        self.first_backup: Path | None = None
        self.backups = 0
        self._crash: tuple[int, str] | None = None
        self._full = False
        settings.PLACE = self.place
        clock.source = self.tick
        ids.secrets = Chance(seed)
        self._application = application()
        used(self.store)

    def tick(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now

    def crash(self, commits: int, when: str) -> None:
        """At the commit after so many more: *before* it, with nothing of it stored, or *after*."""
        self._crash = (commits, when)
        connection.ensure_connection()
        wrapper = connections["default"]
        commit = wrapper._commit

        def crashing() -> None:
            left, at = self._crash or (-1, "")
            if left == 0 and at == "before":
                wrapper.connection.rollback()
                raise Crash
            commit()
            if left == 0:
                raise Crash
            self._crash = (left - 1, at)

        wrapper._commit = crashing

    def fill(self, full: bool) -> None:
        """A disk with no page left, or with room again."""
        self._full = full
        self.store.fill(full)

    def restart(self) -> None:
        self._crash = None
        used(self.store)

    def stop(self) -> Store:
        """The server's book as it leaves it, all of it in one."""
        self.store.rest()
        return self.store

    def settle(self) -> None:
        """Nothing armed any more."""
        if self._crash is not None or self._full:
            self._full = False
            self.restart()

    def back_up(self) -> None:
        self.backups += 1
        into = self.place.folder.parent / f"backup-{self.backups}"
        self.backup = backups.back_up(into, self.tick()).folder
        self.first_backup = self.first_backup or self.backup

    def put_back(self, backup: Path | None = None) -> None:
        """As ``python -m server restore`` does it, with the server stopped."""
        backup = backup or self.backup
        assert backup is not None
        forget_connection()
        at = self.tick()
        restoring.put_back(backup, at)
        self.restart()
        made_at, farms = restoring.new_eras(backup)
        for farm in farms:
            doing._say_restored(farm, made_at, at)
        shutil.rmtree(next(self.place.folder.glob("before-*")))

    def farm(self, farm: Any) -> Farm:
        return Farm.objects.get(id=farm)

    def handle(self, method: str, url: str, headers: Mapping[str, str], body: bytes) -> Answer:
        """What the server answers. A crash ends the process: whoever asked hears nothing."""
        self.requests += 1
        parts = urlsplit(url)
        told: dict[str, Any] = {
            "REQUEST_METHOD": method,
            "SCRIPT_NAME": "",
            "PATH_INFO": unquote(parts.path),
            "QUERY_STRING": parts.query,
            "SERVER_NAME": parts.hostname,
            "SERVER_PORT": str(parts.port),
            "SERVER_PROTOCOL": "HTTP/1.1",
            "REMOTE_ADDR": "127.0.0.1",
            "CONTENT_LENGTH": str(len(body)),
            "wsgi.url_scheme": "http",
            "wsgi.input": io.BytesIO(body),
            "wsgi.errors": io.StringIO(),
        }
        for name, value in headers.items():
            key = name.upper().replace("-", "_")
            told[key if key in ("CONTENT_TYPE", "CONTENT_LENGTH") else f"HTTP_{key}"] = value
        heard: list[Any] = []
        answer = self._application(told, lambda status, names, *_: heard.extend((status, names)))
        try:
            content = b"".join(answer)
        finally:
            answer.close()
        return Answer(int(heard[0].split()[0]), content, dict(heard[1]))
