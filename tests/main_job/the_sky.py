"""NMEA 0183 sentences as a receiver sends them, into a pipe that the phone app reads."""

from __future__ import annotations

import os
import threading
import time
from datetime import UTC, datetime
from functools import reduce
from pathlib import Path


def sentence(words: str) -> str:
    """``$…*hh``: the checksum is the exclusive or of all characters between."""
    return f"${words}*{reduce(lambda so_far, one: so_far ^ ord(one), words, 0):02X}\r\n"


def degrees(value: float, ways: str, whole: int) -> str:
    size = abs(value)
    return f"{int(size):0{whole}d}{(size - int(size)) * 60:08.5f},{ways[0] if value >= 0 else ways[1]}"


def fix(lat: float, lon: float, at: datetime) -> str:
    """GGA, GST (errors of 2 m a side) and RMC of one second."""
    clock = at.strftime("%H%M%S.00")
    where = f"{degrees(lat, 'NS', 2)},{degrees(lon, 'EW', 3)}"
    return (
        sentence(f"GPGGA,{clock},{where},1,10,0.9,60.0,M,-34.0,M,,")
        + sentence(f"GPGST,{clock},2.0,2.0,2.0,0.0,2.0,2.0,3.0")
        + sentence(f"GPRMC,{clock},A,{where},0.0,0.0,{at.strftime('%d%m%y')},,,A")
    )


class Sky:
    """Says five times a second where the phone is, until it is told otherwise. ``silent`` is a roof overhead."""

    def __init__(self, pipe: Path) -> None:
        self.pipe = pipe
        os.mkfifo(pipe)
        self.place: tuple[float, float] | None = None
        self.ended = threading.Event()
        self.thread = threading.Thread(target=self._speak, daemon=True)
        self.thread.start()

    def at(self, lat: float, lon: float) -> None:
        self.place = (lat, lon)

    def silent(self) -> None:
        self.place = None

    def _speak(self) -> None:
        # Opened for both ways, so that the pipe outlives a phone that is killed.
        handle = os.open(self.pipe, os.O_RDWR | os.O_NONBLOCK)
        while not self.ended.wait(0.2):
            if self.place is not None:
                try:
                    os.write(handle, fix(*self.place, datetime.now(UTC)).encode())
                except BlockingIOError:
                    continue
        os.close(handle)

    def end(self) -> None:
        self.ended.set()
        self.thread.join(5)


def wait_a_second() -> None:
    time.sleep(1.0)
