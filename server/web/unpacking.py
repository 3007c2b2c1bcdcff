"""A zip file that somebody hands over, unpacked in memory and never beyond its bounds, whatever it claims to hold."""

from __future__ import annotations

import io
import zipfile
import zlib
from typing import Any

from shared.errors import GoodgroundError

MOST_BYTES = 4 * 1024 * 1024
MOST_UNPACKED = 24 * 1024 * 1024
MOST_FILES = 60


class NotUsable(GoodgroundError):
    """``key`` of ``pages.import`` says what is wrong; ``told`` where."""

    code = "not_usable"

    def __init__(self, key: str, **facts: Any) -> None:
        self.key, self.told = key, facts
        super().__init__(key)


def is_zip(raw: bytes) -> bool:
    return raw.startswith(b"PK")


def unpacked(raw: bytes) -> dict[str, bytes]:
    """The files of a zip by name. Raises ``NotUsable`` for one that is damaged, locked, or holds too much."""
    out: dict[str, bytes] = {}
    left = MOST_UNPACKED
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            inside = [
                one
                for one in packed.infolist()
                if not one.is_dir() and not one.filename.startswith("__MACOSX")
            ]
            if len(inside) > MOST_FILES:
                raise NotUsable("zip_files", most=MOST_FILES)
            for one in inside:
                if one.flag_bits & 1:
                    raise NotUsable("zip_locked")
                with packed.open(one) as file:
                    content = file.read(left + 1)
                left -= len(content)
                if left < 0:
                    raise NotUsable("zip_bomb", most=MOST_UNPACKED // 1024 // 1024)
                out[one.filename] = content
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError, ValueError):
        raise NotUsable("zip_broken") from None
    return out
