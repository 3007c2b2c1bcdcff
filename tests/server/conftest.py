"""A farm with its people, fields and phones on a real database; the clock is set by the test."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings

from server.config.place import Place
from server.people import clock
from tests.server.ground import START, Ground, HandPhone, found


@pytest.fixture(scope="session", autouse=True)
def data_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Where a server keeps its photos and keys while these tests run: never the checkout."""
    before = settings.PLACE
    settings.PLACE = Place(tmp_path_factory.mktemp("data"))
    yield settings.PLACE.folder
    settings.PLACE = before


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.at = START

    def __call__(self) -> datetime:
        return self.at

    def forward(self, **how: Any) -> datetime:
        self.at += timedelta(**how)
        return self.at


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> Clock:
    standing = Clock()
    monkeypatch.setattr(clock, "source", standing)
    return standing


@pytest.fixture
def ground(db: None, now: Clock) -> Ground:
    return found("Fallow Rise", now())


@pytest.fixture
def phone(ground: Ground, now: Clock) -> HandPhone:
    return HandPhone.join(ground, now())
