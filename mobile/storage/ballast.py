"""A file that only takes up room, so that there is room to free when the disk is full."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

BALLAST_BYTES = 1_048_576
ROOM_TO_LAY = 8 * BALLAST_BYTES


class Ballast:
    def __init__(self, file: Path) -> None:
        self.file = file
        self._laid = file.exists()

    def is_laid(self) -> bool:
        return self._laid

    def lay(self) -> None:
        """Take up the room again where there is plenty. A disk that is short is left alone."""
        if self.is_laid() or shutil.disk_usage(self.file.parent).free < ROOM_TO_LAY:
            return
        part = self.file.with_suffix(".part")
        try:
            with part.open("wb") as out:
                out.write(os.urandom(BALLAST_BYTES))
                out.flush()
                os.fsync(out.fileno())
            part.replace(self.file)
            self._laid = True
        except OSError:
            part.unlink(missing_ok=True)

    def free(self) -> bool:
        """Give the room back. False where there was none to give."""
        self._laid = False
        try:
            self.file.unlink()
        except OSError:
            return False
        return True
