"""What a desktop machine has in place of a phone's parts."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

from mobile.ports import Clock, Fix
from shared.wire.scalars import moment, written_moment
from shared.words.place import Position

CLICK_R68_M = Decimal(3)


class NoReceiver:
    def start(self) -> None:
        pass

    def stop(self) -> None:
        pass

    def fix(self) -> Fix:
        return Fix(None, "no_receiver")


class Clicked:
    """On the desktop trial a click on the map is the position, as exact as the map is drawn."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._position: Position | None = None

    def start(self) -> None:
        pass

    def stop(self) -> None:
        pass

    def put(self, point: tuple[float, float]) -> None:
        lat, lon = (Decimal(f"{part:.7f}") for part in point)
        self._position = Position(
            lat, lon, CLICK_R68_M, moment(written_moment(self._clock.now()), "at"), "map"
        )

    def fix(self) -> Fix:
        return Fix(self._position, None if self._position else "searching")


class MaybeOnline:
    """Nothing is certain here: the server is always worth a try."""

    def is_online(self) -> bool:
        return True

    def is_metered(self) -> bool:
        return False


class NoBuzz:
    def buzz(self, seconds: float = 0.08) -> None:
        pass


class NoCamera:
    def take(self, to: Path, done: Callable[[Path | None], None]) -> None:
        done(None)


class PictureFile:
    """A camera that always sees the same picture: a file."""

    def __init__(self, picture: Path) -> None:
        self.picture = picture

    def take(self, to: Path, done: Callable[[Path | None], None]) -> None:
        try:
            shutil.copyfile(self.picture, to)
        except OSError:
            done(None)
            return
        done(to)
