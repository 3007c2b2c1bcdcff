"""NMEA 0183 as a receiver sends it: sentences in, a fix out. Bad checksums are dropped as if never heard."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any

import pynmea2

from mobile.device.accuracy import r68_from_axes, r68_from_hdop
from mobile.ports import Clock, Fix
from shared.wire.scalars import moment, written_moment
from shared.words.moment import Moment
from shared.words.place import Position

SILENT_AFTER_MS = 10_000
TOO_OLD_MS = 15_000
WALKING_KN = 1.0
"""Slower than this a course is noise. Common practice, no source."""


@dataclass(slots=True)
class Ear:
    """What has been heard so far. A position stands from one GGA to the next; RMC gives the date and the course,
    GST the standard deviations, GSA the dilution where GGA has none."""

    clock: Clock
    heard_ms: int | None = None
    fixed_ms: int | None = None
    lat: Decimal | None = None
    lon: Decimal | None = None
    hdop: float | None = None
    course_deg: float | None = None
    on: date | None = None
    at: time | None = None
    axes: tuple[time, float, float] | None = None
    dropped: int = 0
    _handlers: dict[str, Any] = field(init=False)

    def __post_init__(self) -> None:
        self._handlers = {"GGA": self._gga, "RMC": self._rmc, "GSA": self._gsa, "GST": self._gst}

    def hear(self, line: str) -> pynmea2.NMEASentence | None:
        """One line. A line that is no sentence, has no checksum or a wrong one, changes nothing."""
        text = line.strip()
        if not text:
            return None
        try:
            sentence = pynmea2.parse(text, check=True)
        except (pynmea2.ParseError, ValueError, AttributeError):
            self.dropped += 1
            return None
        self.heard_ms = self.clock.steady_ms()
        handler = self._handlers.get(getattr(sentence, "sentence_type", ""))
        if handler is not None:
            try:
                handler(sentence)
            except (ValueError, TypeError, AttributeError, ArithmeticError):
                self.dropped += 1
                return None
        return sentence

    def _gga(self, said: Any) -> None:
        if not said.gps_qual or not said.lat or not said.lon:
            self._lost()
            return
        self.at = said.timestamp
        self.lat, self.lon = _degrees(said.lat, said.lat_dir), _degrees(said.lon, said.lon_dir)
        self.hdop = float(said.horizontal_dil) if said.horizontal_dil else self.hdop
        self.fixed_ms = self.clock.steady_ms()

    def _rmc(self, said: Any) -> None:
        if said.status != "A":
            self._lost()
            return
        self.on = said.datestamp
        if self.at is None or said.timestamp != self.at:
            self.at = said.timestamp
            self.lat, self.lon = _degrees(said.lat, said.lat_dir), _degrees(said.lon, said.lon_dir)
            self.fixed_ms = self.clock.steady_ms()
        fast = said.spd_over_grnd is not None and said.spd_over_grnd >= WALKING_KN
        self.course_deg = float(said.true_course) if fast and said.true_course is not None else None

    def _gsa(self, said: Any) -> None:
        if said.mode_fix_type == "1":
            self._lost()
        elif said.hdop:
            self.hdop = float(said.hdop)

    def _gst(self, said: Any) -> None:
        if said.std_dev_latitude is not None and said.std_dev_longitude is not None:
            self.axes = (said.timestamp, float(said.std_dev_latitude), float(said.std_dev_longitude))

    def _lost(self) -> None:
        self.lat = self.lon = self.fixed_ms = self.course_deg = self.hdop = None

    def fix(self) -> Fix:
        """Where the receiver is now, or why it can't say."""
        now = self.clock.steady_ms()
        if self.heard_ms is None or now - self.heard_ms > SILENT_AFTER_MS:
            return Fix(None, "silent")
        if self.lat is None or self.lon is None or self.fixed_ms is None:
            return Fix(None, "searching")
        age_ms = now - self.fixed_ms
        if age_ms > TOO_OLD_MS:
            return Fix(None, "too_old", age_ms=age_ms)
        position = Position(self.lat, self.lon, self._r68_m(), self._fixed_at(), "nmea")
        return Fix(position, None, self.course_deg, age_ms)

    def _r68_m(self) -> Decimal | None:
        """The receiver's own standard deviations where they speak of this very fix, else by dilution."""
        if self.axes is not None and self.axes[0] == self.at:
            return r68_from_axes(self.axes[1], self.axes[2])
        return None if self.hdop is None else r68_from_hdop(self.hdop)

    def _fixed_at(self) -> Moment | None:
        if self.on is None or self.at is None:
            return None
        return moment(
            written_moment(datetime.combine(self.on, self.at.replace(tzinfo=None), tzinfo=UTC)), "at"
        )


def _degrees(text: str, side: str) -> Decimal:
    """``ddmm.mmmm`` and a letter as signed degrees, to seven places: a centimetre on the ground."""
    number = Decimal(text)
    whole = number // 100
    degrees = whole + (number - whole * 100) / 60
    signed = -degrees if side in ("S", "W") else degrees
    if abs(signed) > (90 if side in ("N", "S") else 180) or side not in ("N", "S", "E", "W"):
        raise ValueError(f"no such place: {text} {side}")
    return signed.quantize(Decimal("1e-7"))
