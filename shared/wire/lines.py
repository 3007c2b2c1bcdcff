"""Bytes in, entries out, and back (contract, W1). An entry's bytes are made once and never written again."""

from __future__ import annotations

import hashlib
import json
from typing import Any, NoReturn
from uuid import UUID

from shared.errors import TooLarge, Unsound
from shared.wire import scalars, v1
from shared.words.entry import Entry

WHY_UNSOUND = (
    "not_utf8",
    "newline",
    "not_json",
    "not_object",
    "key_twice",
    "not_finite",
    "float",
    "nesting",
    "nul",
    "surrogate",
    "integer",
    "decimal",
    "uuid",
    "time",
    "choice",
    "wrong_type",
    "unknown_key",
    "missing_key",
    "contradiction",
    "unknown_kind",
    "newer_edition",
    "unknown_field",
    "unknown_person",
    "id_conflict",
)
"""Every reason for which a line is held. The last three depend on the farm, the others on the bytes alone."""

READ_AGAIN = frozenset(("unknown_kind", "newer_edition", "unknown_field", "unknown_person"))
"""Reasons that may pass: such an entry is read again once the server or the farm has learnt (W9)."""


def sha(line: bytes) -> str:
    """The hex SHA-256 of an entry's bytes. It covers no numbering, so that a copy sends the same sha."""
    return hashlib.sha256(line).hexdigest()


def handle(sha_hex: str) -> UUID:
    """The name of a held entry whose id can't be used: a UUIDv8 of the first 16 bytes of its sha (W9)."""
    raw = bytearray(bytes.fromhex(sha_hex)[:16])
    raw[6] = raw[6] & 0x0F | 0x80
    raw[8] = raw[8] & 0x3F | 0x80
    return UUID(bytes=bytes(raw))


def decode(line: bytes) -> Entry:
    """The entry that these bytes say. Raises ``TooLarge`` over 65,536 bytes, else ``Unsound``."""
    if len(line) > v1.MOST_ENTRY_BYTES:
        raise TooLarge("entry", len(line), v1.MOST_ENTRY_BYTES)
    parsed = tree(line)
    try:
        return v1.entry_from(parsed)
    except Unsound as unsound:
        unsound.entry_id = _readable_id(parsed)
        raise


def _readable_id(parsed: Any) -> UUID | None:
    try:
        return scalars.identity(parsed["id"], "id")
    except (Unsound, KeyError, TypeError):
        return None


def tree(line: bytes) -> Any:
    """The bytes as parsed JSON, strictly: no key twice, no NaN, no float, nothing that can't be kept."""
    if b"\n" in line:
        raise Unsound("newline")
    try:
        text = line.decode("utf-8")
    except UnicodeDecodeError as error:
        raise Unsound("not_utf8", "", f"byte {error.start}") from None
    if text.startswith("\ufeff"):
        raise Unsound("not_utf8", "", "a byte order mark")
    try:
        parsed = _DECODER.decode(text)
    except RecursionError:
        raise Unsound("nesting") from None
    except Unsound:
        raise
    except ValueError as error:
        raise Unsound("not_json", "", str(error)) from None
    if "\\u" in text or text.count("{") + text.count("[") > v1.DEEPEST:
        _inspect(parsed, 1)
    return parsed


_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))


def encode(entry: Entry) -> bytes:
    """An entry's bytes, made once. Raises ``TooLarge`` before anything is shown as saved."""
    line = _ENCODER.encode(v1.entry_tree(entry)).encode("utf-8")
    if len(line) > v1.MOST_ENTRY_BYTES:
        raise TooLarge("entry", len(line), v1.MOST_ENTRY_BYTES)
    return line


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) != len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        raise Unsound("key_twice", twice)
    return out


def _no_float(text: str) -> NoReturn:
    raise Unsound("float", "", text)


def _no_constant(text: str) -> NoReturn:
    raise Unsound("not_finite", "", text)


def _integer(text: str) -> int:
    if len(text) > 17 or abs(int(text)) > scalars.LARGEST_INTEGER:
        raise Unsound("integer", "", text[:20])
    return int(text)


_DECODER = json.JSONDecoder(
    object_pairs_hook=_object, parse_float=_no_float, parse_constant=_no_constant, parse_int=_integer
)


def _inspect(value: Any, depth: int) -> None:
    """Walk what may hide a NUL, a lone surrogate or too deep a nest."""
    if isinstance(value, str):
        if "\x00" in value:
            raise Unsound("nul")
        if any("\ud800" <= char <= "\udfff" for char in value):
            raise Unsound("surrogate")
    elif isinstance(value, (dict, list)):
        if depth > v1.DEEPEST:
            raise Unsound("nesting")
        for key in value if isinstance(value, dict) else ():
            _inspect(key, depth + 1)
        for one in value.values() if isinstance(value, dict) else value:
            _inspect(one, depth + 1)
