"""Fakes with the ports' names, for tests and for trying things out: nothing moves unless told."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from decimal import Decimal
from pathlib import Path
from uuid import UUID

from mobile.ports import Fix, NoFix
from mobile.senses import Charge, Senses
from shared.wire.scalars import moment, written_moment
from shared.words.place import Position

FIRST_BOOT = UUID(int=7)
MORNING = datetime(2026, 5, 12, 7, 30, tzinfo=timezone(timedelta(hours=-4)))


class FakeClock:
    """A wall clock and a steady clock. ``pass_ms`` moves both; ``jump`` moves the wall clock alone."""

    def __init__(self, at: datetime = MORNING, boot: UUID = FIRST_BOOT) -> None:
        self.boot = boot
        self._now = at
        self._steady_ms = 1_000_000

    def now(self) -> datetime:
        return self._now

    def steady_ms(self) -> int:
        return self._steady_ms

    def pass_ms(self, ms: int) -> None:
        self._steady_ms += ms
        self._now += timedelta(milliseconds=ms)

    def jump(self, by: timedelta) -> None:
        self._now += by

    def reboot(self, boot: UUID) -> None:
        self.boot = boot
        self._steady_ms = 0


class FakeChance:
    """Drawn from a seed: the same every time."""

    def __init__(self, seed: int = 1) -> None:
        self._drawn = random.Random(seed)

    def bytes(self, count: int) -> bytes:
        return self._drawn.randbytes(count)

    def share(self) -> float:
        return self._drawn.random()


class FixedPosition:
    """A receiver that is where it is told to be."""

    def __init__(self, clock: FakeClock | None = None) -> None:
        self._clock = clock
        self._fix = Fix(None, "searching")

    def start(self) -> None:
        pass

    def stop(self) -> None:
        pass

    def fix(self) -> Fix:
        return self._fix

    def stand(self, lat: str, lon: str, r68_m: str | None = "3", course_deg: float | None = None) -> None:
        at = None if self._clock is None else moment(written_moment(self._clock.now()), "at")
        radius = None if r68_m is None else Decimal(r68_m)
        self._fix = Fix(Position(Decimal(lat), Decimal(lon), radius, at, "gps"), None, course_deg)

    def lose(self, why: NoFix) -> None:
        self._fix = Fix(None, why)


class FakeConnectivity:
    def __init__(self, online: bool = True, metered: bool = False) -> None:
        self.online = online
        self.metered = metered

    def is_online(self) -> bool:
        return self.online

    def is_metered(self) -> bool:
        return self.metered


class FakeHaptics:
    def __init__(self) -> None:
        self.buzzed: list[float] = []

    def buzz(self, seconds: float = 0.08) -> None:
        self.buzzed.append(seconds)


class FakeSenses:
    """All of a phone's senses in one: ``percent`` and ``bright`` are what they tell, None: nothing; ``spoken`` what
    was read aloud; ``open`` is the phone opening a link."""

    def __init__(
        self, percent: int | None = None, bright: float | None = None, can_speak: bool = True
    ) -> None:
        self.percent = percent
        self.bright = bright
        self.can_speak = can_speak
        self.is_charging = False
        self.spoken: list[tuple[str, str]] = []
        self._heard: Callable[[str], None] = lambda link: None

    def charge(self) -> Charge | None:
        return None if self.percent is None else Charge(self.percent, self.is_charging)

    def start(self) -> None:
        pass

    def stop(self) -> None:
        pass

    def lux(self) -> float | None:
        return self.bright

    def speak(self, text: str, language: str) -> bool:
        if self.can_speak:
            self.spoken.append((text, language))
        return self.can_speak

    def listen(self, heard: Callable[[str], None]) -> None:
        self._heard = heard

    def open(self, link: str) -> None:
        self._heard(link)

    @property
    def senses(self) -> Senses:
        return Senses(self, self, self, self)


class FakeCamera:
    """Sees these bytes; None: the person gave up."""

    def __init__(self, sees: bytes | None = None) -> None:
        self.sees = sees

    def take(self, to: Path, done: Callable[[Path | None], None]) -> None:
        if self.sees is None:
            done(None)
            return
        to.write_bytes(self.sees)
        done(to)
