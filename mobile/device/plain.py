"""What a desktop machine has in place of a phone's parts."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from mobile.ports import Fix


class NoReceiver:
    def start(self) -> None:
        pass

    def stop(self) -> None:
        pass

    def fix(self) -> Fix:
        return Fix(None, "no_receiver")


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
