"""A carry file, ``*.goodground``: entries that wait, for a phone that can't reach the server (contract, W19).

A zip of four things: ``carry.json`` (whose lines, from which, after which head), ``lines.ndjson`` (the exact lines,
each ended by 0x0A), ``photos/`` by SHA-256, and ``seal``: the hex HMAC-SHA-256 of the bytes of ``carry.json``, keyed
with the 32 bytes of SHA-256(token). ``carry.json`` holds the digest of the lines and names each photo by its own.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import zipfile
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import BinaryIO
from uuid import UUID

from shared.errors import BadCarry, Unsound
from shared.wire import lines, scalars
from shared.wire.codec import value_reader, written
from shared.words.entry import Photo
from shared.words.moment import Moment

SUFFIX = ".goodground"
EDITION = 1
MANIFEST, LINES, SEAL, PHOTOS = "carry.json", "lines.ndjson", "seal", "photos/"
MOST_MANIFEST_BYTES = 4 * 1_048_576
MOST_LINES_BYTES = 64 * 1_048_576
MOST_PHOTO_BYTES = 12 * 1_048_576
_EPOCH = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class Carried:
    """What a carry file says of itself: lines ``first`` to ``first + count - 1`` of a phone, after the head
    ``prev``; ``lines_sha256`` is the digest of ``lines.ndjson``."""

    edition: int
    farm: UUID
    phone: UUID
    first: int
    prev: str
    count: int
    lines_sha256: str
    made_at: Moment
    photos: tuple[Photo, ...]


_CARRIED = value_reader(Carried, "")


@dataclass(frozen=True, slots=True)
class CarryFile:
    """A carry file as read. ``manifest`` are the bytes that the seal covers."""

    carried: Carried
    lines: tuple[bytes, ...]
    manifest: bytes
    seal: str

    def is_sealed_by(self, token_sha256: str) -> bool:
        """Whether the phone with this token (its hex SHA-256) made this file."""
        return hmac.compare_digest(self.seal, seal_of(self.manifest, token_sha256))


def seal_of(manifest: bytes, token_sha256: str) -> str:
    """The hex HMAC-SHA-256 over ``carry.json``."""
    return hmac.new(bytes.fromhex(token_sha256), manifest, "sha256").hexdigest()


def lines_digest(raws: Sequence[bytes]) -> str:
    """The hex SHA-256 of lines as ``lines.ndjson`` has them."""
    digest = hashlib.sha256()
    for raw in raws:
        digest.update(raw + b"\n")
    return digest.hexdigest()


def write_carry(
    out: BinaryIO,
    carried: Carried,
    raws: Sequence[bytes],
    photos: Iterable[tuple[str, BinaryIO]],
    token_sha256: str,
) -> None:
    """Write a carry file into ``out``. ``photos`` are pairs of SHA-256 and open file, read one after another."""
    manifest = json.dumps(written(carried), separators=(",", ":")).encode()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed:
        packed.writestr(_named(MANIFEST), manifest)
        packed.writestr(_named(SEAL), seal_of(manifest, token_sha256))
        packed.writestr(_named(LINES), b"".join(raw + b"\n" for raw in raws))
        for sha256, picture in photos:
            packed.writestr(_named(PHOTOS + sha256, zipfile.ZIP_STORED), picture.read())


def _named(name: str, packing: int = zipfile.ZIP_DEFLATED) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _EPOCH)
    info.compress_type = packing
    return info


def read_carry(file: BinaryIO) -> CarryFile:
    """The carry file in ``file``, its lines whole and as its manifest says. Whether its seal is the phone's is for
    ``is_sealed_by``. Raises ``BadCarry``; no more is ever unpacked than a carry file may hold."""
    with _opened(file) as packed:
        manifest = _content(packed, MANIFEST, MOST_MANIFEST_BYTES)
        body = _content(packed, LINES, MOST_LINES_BYTES)
        seal = _content(packed, SEAL, 64).decode("ascii", "replace")
    try:
        carried: Carried = _CARRIED(lines.tree(manifest))
        scalars.digest(carried.prev, "prev")
    except Unsound as unsound:
        raise BadCarry(f"carry.json: {unsound.why} {unsound.where}".strip()) from None
    if carried.edition != EDITION:
        raise BadCarry(f"edition {carried.edition}: bring the server up to date")
    if hashlib.sha256(body).hexdigest() != carried.lines_sha256:
        raise BadCarry("the lines are not those that its manifest names")
    raws = tuple(body[:-1].split(b"\n")) if body else ()
    if len(raws) != carried.count or carried.first < 1 or (body and not body.endswith(b"\n")):
        raise BadCarry(f"{carried.count} lines were promised, {len(raws)} are here")
    return CarryFile(carried, raws, manifest, seal)


def read_photo(file: BinaryIO, sha256: str) -> bytes:
    """A photo's bytes, checked against its name. Raises ``BadCarry``."""
    with _opened(file) as packed:
        content = _content(packed, PHOTOS + sha256, MOST_PHOTO_BYTES)
    if hashlib.sha256(content).hexdigest() != sha256:
        raise BadCarry(f"photo {sha256[:8]} is damaged")
    return content


def photos_in(file: BinaryIO) -> tuple[str, ...]:
    """The SHA-256 of each photo that lies in the file. Raises ``BadCarry``."""
    with _opened(file) as packed:
        names = [one.removeprefix(PHOTOS) for one in packed.namelist() if one.startswith(PHOTOS)]
    return tuple(one for one in names if scalars.SHA_TEXT.fullmatch(one))


def _opened(file: BinaryIO) -> zipfile.ZipFile:
    file.seek(0)
    try:
        return zipfile.ZipFile(file)
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError):
        raise BadCarry("this is no carry file, or it was cut short") from None


def _content(packed: zipfile.ZipFile, name: str, most: int) -> bytes:
    """A part whole. No more of it is unpacked than it says of itself, and that is looked at first."""
    try:
        if packed.getinfo(name).file_size > most:
            raise BadCarry(f"{name} is larger than a carry file's may be")
        return packed.read(name)
    except KeyError:
        raise BadCarry(f"{name} is missing") from None
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, ValueError, OSError):
        raise BadCarry(f"{name} is damaged") from None
