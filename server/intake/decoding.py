"""Bytes in, entries out, compiled: what is written in the plain form is read here, all else by ``shared.wire``.

Held equal to ``shared.wire.lines.decode`` by one contract test: the same entry, or the same reason to hold it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, Literal
from uuid import UUID

import msgspec

from server.intake.plain import SHAPES, Counted, Shape, check_time, plain_moment, shape
from shared.errors import TooLarge, Unsound
from shared.wire import lines, scalars, v1
from shared.wire.upgrade import NEWEST
from shared.words.bodies.reading import Correction
from shared.words.entry import Entry, Photo
from shared.words.moment import Moment
from shared.words.place import Position

_AT = shape(Position, "PlainPosition")
_PHOTO = shape(Photo, "PlainPhoto")


class PlainCorrection(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    of: str
    body: msgspec.Raw
    why: str


def _envelope(kind: str, body: Any) -> type[msgspec.Struct]:
    """An entry of this kind, its keys in the contract's order."""
    return msgspec.defstruct(
        f"Plain_{kind}",
        [
            ("id", UUID),
            ("kind", Literal[kind]),  # type: ignore[valid-type]
            ("edition", Literal[NEWEST.get(kind, 1)]),  # type: ignore[misc]
            ("made_at", str),
            ("boot", str | None),
            ("mono_ms", Counted | None),
            ("done_at", str | None),
            ("by", str),
            ("done_by", str | None),
            ("field", str | None),
            ("part", str | None),
            ("land", Counted | None),
            ("at", _AT.struct | None),
            ("round", str | None),
            ("stop", Counted | None),
            ("body", body),
            ("names", UUID | None),
            ("sheets", tuple[str, ...]),
            ("from_paper", bool),
            ("photos", tuple[_PHOTO.struct, ...]),  # type: ignore[name-defined]
        ],
        forbid_unknown_fields=True,
        gc=False,
    )


_BODIES = {kind: msgspec.json.Decoder(one.struct) for kind, one in SHAPES.items()}
_ENTRIES = {
    kind.encode(): msgspec.json.Decoder(_envelope(kind, one.struct)).decode for kind, one in SHAPES.items()
} | {b"correction": msgspec.json.Decoder(_envelope("correction", PlainCorrection)).decode}
_CHECKS = {kind: one.check for kind, one in SHAPES.items()}
_encode = msgspec.json.Encoder(decimal_format="string").encode
_KIND_AT = len('{"id":"","kind":"') + 36


class _NotPlain(Exception):
    """Not in the plain form: sound or not, ``shared.wire`` says."""


@dataclass(slots=True)
class Read:
    """What a line says, as far as judging it needs; ``entry`` makes the whole value."""

    raw: bytes
    id: UUID
    by: UUID
    done_by: UUID | str | None
    field: UUID | None
    _plain: Any = None
    _body: Any = None
    _whole: Entry | None = None

    @property
    def entry(self) -> Entry:
        if self._whole is None:
            self._whole = _entry(self._plain, self) if self._plain is not None else lines.decode(self.raw)
        return self._whole


def read(line: bytes) -> Read:
    """What these bytes say. Raises ``TooLarge``, ``Unsound``, as ``shared.wire.lines.decode`` does."""
    if len(line) > v1.MOST_ENTRY_BYTES:
        raise TooLarge("entry", len(line), v1.MOST_ENTRY_BYTES)
    try:
        return _read_plain(line)
    except (_NotPlain, Unsound, ValueError, OverflowError, RecursionError):
        return _of(lines.decode(line), line)


def decode(line: bytes) -> Entry:
    """The entry that these bytes say: the compiled twin of ``shared.wire.lines.decode``."""
    return read(line).entry


def _of(entry: Entry, line: bytes) -> Read:
    return Read(line, entry.id, entry.by, entry.done_by, entry.field, _whole=entry)


def _read_plain(line: bytes) -> Read:
    # An escape may hide a NUL, a lone surrogate or another spelling of the same text.
    if b"\\" in line and b"\\u" in line:
        raise _NotPlain
    # Where the kind stands elsewhere the line is not in the plain form, whatever is found here.
    decode_kind = _ENTRIES.get(line[_KIND_AT : line.find(b'"', _KIND_AT)])
    if decode_kind is None:
        raise _NotPlain
    plain = decode_kind(line)
    if _encode(plain) != line:
        raise _NotPlain
    check_time(plain.made_at)
    at, by, field = plain.at, plain.by, plain.field
    if at is not None and at.fixed_at is not None:
        check_time(at.fixed_at)
    if plain.done_at is not None:
        _done_at(plain.done_at)
    seen = _seen
    for text in (plain.boot, plain.round, plain.part):
        if text is not None and text not in seen:
            _known(text)
    kind, body = plain.kind, plain.body
    if kind == "correction":
        body = _plain_correction(body)
    elif (check := _CHECKS[kind]) is not None:
        check(body)
    return Read(
        line,
        plain.id,
        seen.get(by) or _known(by),
        None if plain.done_by is None else _done_by(plain.done_by),
        None if field is None else seen.get(field) or _known(field),
        plain,
        body,
    )


_seen: dict[str, UUID] = {}
MOST_SEEN = 4_096


def _known(text: str) -> UUID:
    """A UUID that comes again and again (a person, a field, a round), read once."""
    found = _seen.get(text)
    if found is None:
        if len(_seen) >= MOST_SEEN:
            _seen.clear()
        found = _seen[text] = scalars.identity(text, "")
    return found


def _plain_correction(plain: PlainCorrection) -> tuple[PlainCorrection, Any]:
    decoder = _BODIES.get(plain.of)
    if decoder is None:
        raise _NotPlain
    body = decoder.decode(plain.body)
    if _encode(body) != bytes(plain.body):
        raise _NotPlain
    if (check := SHAPES[plain.of].check) is not None:
        check(body)
    return plain, body


def _done_by(text: str) -> UUID | str:
    return UUID(text) if scalars.UUID_TEXT.fullmatch(text) else text


def _done_at(text: str) -> Moment | date:
    if scalars.DAY.fullmatch(text):
        return date.fromisoformat(text)
    return plain_moment(text)


def _entry(plain: Any, read: Read) -> Entry:
    return Entry(
        id=plain.id,
        kind=plain.kind,
        edition=plain.edition,
        made_at=plain_moment(plain.made_at),
        boot=None if plain.boot is None else _known(plain.boot),
        mono_ms=plain.mono_ms,
        done_at=None if plain.done_at is None else _done_at(plain.done_at),
        by=read.by,
        done_by=read.done_by,
        field=read.field,
        part=None if plain.part is None else _known(plain.part),
        land=plain.land,
        at=None if plain.at is None else _AT.value(plain.at),
        round=None if plain.round is None else _known(plain.round),
        stop=plain.stop,
        body=_body(plain.kind, read._body),
        names=plain.names,
        sheets=plain.sheets,
        from_paper=plain.from_paper,
        photos=tuple([_PHOTO.value(one) for one in plain.photos]),
    )


def _body(kind: str, plain: Any) -> Any:
    if kind == "correction":
        around, inner = plain
        within: Shape = SHAPES[around.of]
        return Correction(around.of, within.value(inner), around.why)
    return SHAPES[kind].value(plain)
