"""Write what waits to a carry file, for a phone that can't reach the server (W19).

Nothing is marked as handed in by it: the phone goes on trying, and the server answers *already* for what came on
the file. So it can be written any number of times.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from mobile.actions.save_entry import made_now
from mobile.actions.send_photos import photos_waiting
from mobile.ports import Batch, Enrolment, Phone
from mobile.trouble import DiskFailed, DiskFull, NothingWaits
from shared.wire.carry import EDITION, MOST_LINES_BYTES, SUFFIX, Carried, lines_digest, write_carry
from shared.words.entry import Photo

NO_ROOM = 28
EVERY_LINE = 2**31


@dataclass(frozen=True, slots=True)
class CarryWritten:
    """A carry file that is on the disk: lines ``first`` to ``first + count - 1`` and ``photos`` pictures."""

    file: Path
    first: int
    count: int
    photos: int


def carry_file(phone: Phone, enrolment: int, folder: Path) -> CarryWritten:
    """Write all that waits into a new file in ``folder``. Raises ``NothingWaits``, ``DiskFull`` or ``DiskFailed``:
    no half file is left then."""
    who = phone.book.enrolment(enrolment)
    batch = phone.book.batch(enrolment, EVERY_LINE, MOST_LINES_BYTES)
    photos = tuple(one.photo for one in photos_waiting(phone, enrolment) if _is_whole(phone, one.photo))
    if batch is None and not photos:
        raise NothingWaits
    batch = batch or Batch(who.phone, who.line + 1, phone.book.head(enrolment, who.line) or "", ())
    carried = Carried(
        edition=EDITION,
        farm=who.farm.id,
        phone=who.phone,
        first=batch.first,
        prev=batch.prev,
        count=len(batch.raws),
        lines_sha256=lines_digest(batch.raws),
        made_at=made_now(phone.clock),
        photos=photos,
    )
    file = folder / _name(phone, who, batch)
    _written(phone, file, carried, batch, who.link.token)
    return CarryWritten(file, batch.first, len(batch.raws), len(photos))


def _name(phone: Phone, who: Enrolment, batch: Batch) -> str:
    """*yellow-phone-2026-05-12-41-to-52.goodground*"""
    label = "".join(char if char.isalnum() else "-" for char in phone.label.lower()) or "phone"
    last = batch.first + len(batch.raws) - 1
    return f"{label}-{phone.clock.now().date()}-{batch.first}-to-{max(last, who.line)}{SUFFIX}"


def _is_whole(phone: Phone, photo: Photo) -> bool:
    try:
        content = phone.book.photo_file(photo.sha256).read_bytes()
    except OSError:
        return False
    return hashlib.sha256(content).hexdigest() == photo.sha256


def _written(phone: Phone, file: Path, carried: Carried, batch: Batch, token: str) -> None:
    part = file.with_suffix(".part")
    try:
        with part.open("wb") as out:
            sealing = hashlib.sha256(token.encode()).hexdigest()
            write_carry(out, carried, batch.raws, _pictures(phone, carried), sealing)
            out.flush()
            os.fsync(out.fileno())
        part.replace(file)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise DiskFull() if error.errno == NO_ROOM else DiskFailed(str(error)) from error


def _pictures(phone: Phone, carried: Carried) -> Iterator[tuple[str, BinaryIO]]:
    for one in carried.photos:
        with phone.book.photo_file(one.sha256).open("rb") as picture:
            yield one.sha256, picture
