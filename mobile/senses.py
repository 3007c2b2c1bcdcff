"""What a phone may have beside what every one has: a page to share with, a gauge of its battery, a light sensor, a
voice, links that open the app. Each may be absent, and nothing that must be written down waits for one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol


@dataclass(frozen=True, slots=True)
class Charge:
    percent: int
    charging: bool


class Battery(Protocol):
    def charge(self) -> Charge | None:
        """None where the phone doesn't say."""
        ...


class Light(Protocol):
    def start(self) -> None: ...
    def stop(self) -> None: ...
    def lux(self) -> float | None:
        """The light that falls on the glass; None where nothing measures it."""
        ...


class Voice(Protocol):
    def speak(self, text: str, language: str) -> bool:
        """Read it aloud; False where the phone has no voice."""
        ...


class Opened(Protocol):
    def listen(self, heard: Callable[[str], None]) -> None:
        """``heard`` gets each link that the phone opens this app with, from the one it was started with on. It may be
        called on another thread."""
        ...


class Sharing(Protocol):
    def share(self, file: Path, kind: str) -> bool:
        """Offer a file of this media type to what the phone shares and prints with; False where it can't."""
        ...


class NotShared:
    """A phone that can only keep the file where it is."""

    def share(self, file: Path, kind: str) -> bool:
        return False


class Absent:
    """No gauge, no sensor, no voice, no links: a desktop."""

    def charge(self) -> Charge | None:
        return None

    def start(self) -> None:
        pass

    def stop(self) -> None:
        pass

    def lux(self) -> float | None:
        return None

    def speak(self, text: str, language: str) -> bool:
        return False

    def listen(self, heard: Callable[[str], None]) -> None:
        pass


@dataclass(frozen=True, slots=True)
class Senses:
    battery: Battery = field(default_factory=Absent)
    light: Light = field(default_factory=Absent)
    voice: Voice = field(default_factory=Absent)
    opened: Opened = field(default_factory=Absent)
