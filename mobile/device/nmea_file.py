"""A receiver read from a file: one that is played at the pace of its own times, or one that is still written to
(a FIFO, a serial line, a growing file)."""

from __future__ import annotations

import os
from collections import deque
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pynmea2

from mobile.device.nmea import Ear
from mobile.ports import Clock, Fix

READ_BYTES = 65_536
LONGEST_LINE = 1_024
DAY = timedelta(days=1)
NO_DAY = date(2000, 1, 1)


class NmeaStream:
    """Whatever has come since the last look is heard at the next; the newest fix counts. Nothing ever blocks."""

    def __init__(self, file: Path, clock: Clock) -> None:
        self.file = file
        self.ear = Ear(clock)
        self._handle: int | None = None
        self._rest = b""

    def start(self) -> None:
        if self._handle is None:
            try:
                self._handle = os.open(self.file, os.O_RDONLY | os.O_NONBLOCK)
            except OSError:
                self._handle = None

    def stop(self) -> None:
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None

    def fix(self) -> Fix:
        self.start()
        if self._handle is None:
            return Fix(None, "no_receiver")
        for line in self._lines(self._handle):
            self.ear.hear(line)
        return self.ear.fix()

    def _lines(self, handle: int) -> list[str]:
        taken = bytearray(self._rest)
        while True:
            try:
                part = os.read(handle, READ_BYTES)
            except BlockingIOError:
                break
            if not part:
                break
            taken += part
        *whole, rest = bytes(taken).split(b"\n")
        self._rest = rest if len(rest) <= LONGEST_LINE else b""
        return [line.decode("ascii", "replace") for line in whole]


class NmeaReplay:
    """A recorded track played against the steady clock by its own UTC times, ``speed`` times as fast. At its end
    the receiver stands still where it is, or is silent, or begins again."""

    def __init__(self, file: Path, clock: Clock, speed: float = 1.0, at_end: str = "stand") -> None:
        self.clock = clock
        self.speed = speed
        self.at_end = at_end
        self.ear = Ear(clock)
        self.file = file
        self._queue: deque[tuple[int, str]] = deque()
        self._last: list[str] = []
        self._started_ms: int | None = None
        self._stood_ms = 0

    def start(self) -> None:
        if self._started_ms is None:
            self._begin()

    def _begin(self) -> None:
        self._started_ms = self.clock.steady_ms()
        try:
            text = self.file.read_text("ascii", "replace")
        except OSError:
            text = ""
        self._queue = deque(timed(text.splitlines()))

    def stop(self) -> None:
        self._started_ms = None

    def fix(self) -> Fix:
        self.start()
        if self._started_ms is None or not (self._queue or self._last):
            return Fix(None, "no_receiver")
        track_ms = (self.clock.steady_ms() - self._started_ms) * self.speed
        while self._queue and self._queue[0][0] <= track_ms:
            self._play()
        if not self._queue and self.at_end == "again":
            self._begin()
        elif not self._queue and self.at_end == "stand" and self.clock.steady_ms() - self._stood_ms >= 1_000:
            self._stood_ms = self.clock.steady_ms()
            for line in self._last:
                self.ear.hear(line)
        return self.ear.fix()

    def _play(self) -> None:
        at_ms, line = self._queue.popleft()
        if self._last and at_ms != self._last_ms:
            self._last = []
        self._last_ms = at_ms
        self._last.append(line)
        self.ear.hear(line)

    _last_ms = 0


def timed(lines: list[str]) -> list[tuple[int, str]]:
    """Each line with its milliseconds since the first time in the track; one without a time goes with the line
    before. A time that steps back over half a day is the next day's."""
    out: list[tuple[int, str]] = []
    first: datetime | None = None
    now: datetime | None = None
    # A receiver may tell the time before it tells the day: then the first day that is told is meant.
    began = next((on for line in lines if (on := _day_of(line)) is not None), NO_DAY)
    for line in lines:
        at = _time_of(line, now, began)
        if at is not None:
            first = first or at
            now = at if now is None or at > now else now
        out.append((0 if first is None or now is None else round((now - first).total_seconds() * 1000), line))
    return out


def _day_of(line: str) -> date | None:
    try:
        said: Any = pynmea2.parse(line.strip(), check=True)
        on = getattr(said, "datestamp", None)
    except (pynmea2.ParseError, AttributeError, ValueError):
        return None
    return on if isinstance(on, date) else None


def _time_of(line: str, before: datetime | None, began: date) -> datetime | None:
    try:
        said: Any = pynmea2.parse(line.strip(), check=True)
        at = said.timestamp
    except (pynmea2.ParseError, AttributeError, ValueError):
        return None
    if at is None or isinstance(at, str):
        return None
    on = getattr(said, "datestamp", None) or (before.date() if before else began)
    found = datetime.combine(on, at.replace(tzinfo=None), tzinfo=UTC)
    if before is not None and before - found > DAY / 2:
        found += DAY
    return found
