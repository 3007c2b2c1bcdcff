"""The whole demo as a person runs it: laid, served, ended by Ctrl-C, and gone on with."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
from pathlib import Path
from urllib.request import urlopen

import pytest

ROOT = Path(__file__).resolve().parents[2]
DAYS = ("--until", "2026-11-24", "--since", "2026-11-20")
"""A few days of the season, so that it is laid sooner."""


class Run:
    """One ``python -m demo_fixtures show``, and what it has said."""

    def __init__(self, data: Path) -> None:
        command = [sys.executable, "-m", "demo_fixtures", "show", "--data", str(data), *DAYS, "--no-phone"]
        surroundings = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "LANG")}
        # The demo's own settings must not leak in from the tests'.
        surroundings.pop("DJANGO_SETTINGS_MODULE", None)
        self.process = subprocess.Popen(
            command, cwd=ROOT, env=surroundings, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        self.said = ""

    def until(self, words: str) -> str:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.said += line
            if words in line:
                return self.said
        pytest.fail(f"it ended without saying {words!r}:\n{self.said}")

    def interrupt(self) -> int:
        self.process.send_signal(signal.SIGINT)
        rest, _ = self.process.communicate(timeout=60)
        self.said += rest
        return self.process.returncode

    @property
    def address(self) -> str:
        found = re.search(r"http://127\.0\.0\.1:\d+", self.said)
        assert found
        return found[0]


def listens(address: str) -> bool:
    with socket.socket() as one:
        one.settimeout(2)
        return one.connect_ex(("127.0.0.1", int(address.rsplit(":", 1)[1]))) == 0


def test_the_demo_lays_serves_ends_all_it_started_and_goes_on_with_the_same_data(tmp_path):
    first = Run(tmp_path / "demo")
    try:
        first.until("Ctrl-C")
        with urlopen(f"{first.address}/api/v1/hello/", timeout=20) as answer:
            assert answer.status == 200
        assert re.search(rf"{first.address}/sign-in/\S+/", first.said)
        assert "--code" in first.said
    finally:
        assert first.interrupt() == 0
    assert not listens(first.address)
    assert "Ended." in first.said

    second = Run(tmp_path / "demo")
    try:
        second.until("Ctrl-C")
        assert "Going on with the data" in second.said
        assert second.address == first.address
    finally:
        assert second.interrupt() == 0
    assert not listens(second.address)


def test_a_folder_that_is_not_the_demos_is_left_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("not yours")
    command = [
        sys.executable,
        "-m",
        "demo_fixtures",
        "show",
        "--data",
        str(tmp_path),
        "--fresh",
        "--no-phone",
    ]
    told = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert told.returncode == 2
    assert str(tmp_path) in told.stdout
    assert (tmp_path / "mine.txt").read_text() == "not yours"
