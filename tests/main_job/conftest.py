"""A display, a sky, a server and a phone of a test's own, all of them ended when it ends."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from the_farm import FarmServer, free_port
from the_sky import Sky
from the_window import PhoneWindow, start_display


@pytest.fixture(scope="module")
def display() -> Iterator[str]:
    server, name = start_display()
    yield name
    server.terminate()
    server.wait()


@pytest.fixture
def sky(tmp_path: Path) -> Iterator[Sky]:
    one = Sky(tmp_path / "nmea")
    yield one
    one.end()


@pytest.fixture
def server(tmp_path: Path) -> Iterator[FarmServer]:
    one = FarmServer(tmp_path / "server", free_port())
    one.found()
    yield one
    one.stop()


@pytest.fixture
def phone(display: str, tmp_path: Path) -> Iterator[PhoneWindow]:
    one = PhoneWindow(display, tmp_path / "phone")
    yield one
    one.end()


@pytest.fixture
def today() -> str:
    return datetime.now(UTC).astimezone(ZoneInfo("America/New_York")).date().isoformat()
