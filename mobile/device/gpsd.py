"""A receiver behind gpsd: its JSON reports over a local socket.

``eph`` is the radius of a horizontal error. gpsd's source scales what drivers report to 95 % (2.45 standard
deviations of one axis, its GPSD_CONFIDENCE); its manual called it 95 % and since 3.20 calls it of unknown
certainty. Taken here as 95 %. ``epx`` and ``epy`` are the same for one axis each.
"""

from __future__ import annotations

import json
import math
import socket
from decimal import Decimal
from typing import Any

from mobile.device.accuracy import metres, r68_from_r95
from mobile.device.nmea import SILENT_AFTER_MS, TOO_OLD_MS
from mobile.ports import Clock, Fix
from shared.errors import Unsound
from shared.wire.scalars import moment
from shared.words.moment import Moment
from shared.words.place import Position

PORT = 2947
WATCH = b'?WATCH={"enable":true,"json":true};\n'
CONNECT_S = 0.5
RETRY_MS = 5_000
WALKING_M_S = 0.5
MOST_REST = 65_536


class Gpsd:
    """Reports that came since the last look are read at the next. Without gpsd it is asked again now and then."""

    def __init__(self, clock: Clock, host: str = "127.0.0.1", port: int = PORT) -> None:
        self.clock = clock
        self.address = (host, port)
        self._socket: socket.socket | None = None
        self._tried_ms: int | None = None
        self._rest = b""
        self._heard_ms: int | None = None
        self._fixed_ms = 0
        self._position: Position | None = None
        self._course_deg: float | None = None

    def start(self) -> None:
        now = self.clock.steady_ms()
        if self._socket is not None or (self._tried_ms is not None and now - self._tried_ms < RETRY_MS):
            return
        self._tried_ms = now
        try:
            opened = socket.create_connection(self.address, CONNECT_S)
        except OSError:
            return
        try:
            opened.sendall(WATCH)
            opened.setblocking(False)
        except OSError:
            opened.close()
            return
        self._socket = opened
        self._rest = b""

    def stop(self) -> None:
        if self._socket is not None:
            self._socket.close()
            self._socket = None
        self._tried_ms = None

    def fix(self) -> Fix:
        self.start()
        self._read()
        now = self.clock.steady_ms()
        if self._socket is None and self._heard_ms is None:
            return Fix(None, "no_receiver")
        if self._heard_ms is None or now - self._heard_ms > SILENT_AFTER_MS:
            return Fix(None, "silent")
        if self._position is None:
            return Fix(None, "searching")
        age_ms = now - self._fixed_ms
        if age_ms > TOO_OLD_MS:
            return Fix(None, "too_old", age_ms=age_ms)
        return Fix(self._position, None, self._course_deg, age_ms)

    def _read(self) -> None:
        while self._socket is not None:
            try:
                part = self._socket.recv(MOST_REST)
            except BlockingIOError:
                return
            except OSError:
                part = b""
            if not part:
                self._socket.close()
                self._socket = None
                return
            *whole, self._rest = (self._rest + part).split(b"\n")
            self._rest = self._rest[-MOST_REST:]
            for line in whole:
                self._report(line)

    def _report(self, line: bytes) -> None:
        try:
            said = json.loads(line)
        except ValueError:
            return
        if not isinstance(said, dict) or said.get("class") != "TPV":
            return
        self._heard_ms = self.clock.steady_ms()
        try:
            self._take(said)
        except (KeyError, TypeError, ValueError, ArithmeticError):
            return

    def _take(self, said: dict[str, Any]) -> None:
        if said.get("mode", 0) < 2:
            self._position = None
            return
        if "lat" not in said or "lon" not in said:
            return
        lat, lon = float(said["lat"]), float(said["lon"])
        if not (abs(lat) <= 90 and abs(lon) <= 180):
            return
        place = [Decimal(f"{one:.7f}") for one in (lat, lon)]
        self._position = Position(place[0], place[1], _r68_m(said), _fixed_at(said), "gpsd")
        self._fixed_ms = self.clock.steady_ms()
        moving = float(said.get("speed", 0.0)) >= WALKING_M_S
        self._course_deg = float(said["track"]) if moving and "track" in said else None


def _r68_m(said: dict[str, Any]) -> Decimal | None:
    if "eph" in said:
        radius = float(said["eph"])
    elif "epx" in said and "epy" in said:
        radius = math.hypot(float(said["epx"]), float(said["epy"]))
    else:
        return None
    return r68_from_r95(radius) if math.isfinite(radius) else metres(100.0)


def _fixed_at(said: dict[str, Any]) -> Moment | None:
    try:
        return moment(said.get("time"), "at")
    except Unsound:
        return None
