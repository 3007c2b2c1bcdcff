"""A farm with its people, fields and phones on a real database; the clock is set by the test."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest

from server.people import clock
from tests.server.ground import START, Ground, HandPhone, found


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
