"""A request's body as sent and inflated, never more of it in memory than may be (contract, W6)."""

from __future__ import annotations

import json
import zlib
from typing import Any

from django.http import HttpRequest

from shared.errors import BadFrame, TooLarge, Unsound
from shared.sync.outbox import MOST_BYTES
from shared.wire.push import digest_agrees

GZIP = 31
MOST_JSON_BYTES = 16_384
SLACK = 4_096
"""A body that does not shrink grows by a few bytes when packed."""


def sent(request: HttpRequest, most: int) -> bytes:
    """The bytes as they came. Raises ``TooLarge`` before reading more than may be."""
    length = int(request.META.get("CONTENT_LENGTH") or 0)
    if length > most + SLACK:
        raise TooLarge("request", length, most)
    return request.read(most + SLACK + 1)


def inflated(request: HttpRequest, body: bytes, most: int) -> bytes:
    """The body itself. Raises ``BadFrame`` where it is cut short or no gzip, ``TooLarge`` where it is a bomb."""
    coding = request.META.get("HTTP_CONTENT_ENCODING", "identity").strip().lower()
    if coding in ("", "identity"):
        out = body
    elif coding == "gzip":
        out = _unpacked(body, most)
    else:
        raise BadFrame(f"a body packed as {coding[:20]!r}: gzip or nothing")
    if len(out) > most:
        raise TooLarge("body", len(out), most)
    return out


def _unpacked(body: bytes, most: int) -> bytes:
    unpack = zlib.decompressobj(GZIP)
    try:
        out = unpack.decompress(body, most + 1)
    except zlib.error:
        raise BadFrame("the body says that it is gzip and is not") from None
    if len(out) > most:
        raise TooLarge("body", len(out), most)
    if not unpack.eof or unpack.unused_data:
        raise BadFrame("the gzip body is cut short or has more behind it")
    return out


def push_body(request: HttpRequest) -> bytes:
    """A push as its digest covers it, inflated. Raises ``BadFrame``, ``TooLarge``."""
    body = sent(request, MOST_BYTES)
    if not digest_agrees(request.META.get("HTTP_CONTENT_DIGEST"), body):
        raise BadFrame("Content-Digest is not that of the body: it was cut short or altered on the way")
    return inflated(request, body, MOST_BYTES)


def json_body(request: HttpRequest) -> Any:
    """A small JSON object. Raises ``BadFrame``, ``TooLarge``."""
    body = inflated(request, sent(request, MOST_JSON_BYTES), MOST_JSON_BYTES)
    try:
        return json.loads(body)
    except (ValueError, RecursionError):
        raise BadFrame("the body is not JSON") from None


def text_of(tree: Any, key: str, least: int, most: int) -> str:
    """A text of this many characters in an object. Raises ``Unsound``."""
    value = tree.get(key) if isinstance(tree, dict) else None
    if not isinstance(value, str) or not least <= len(value) <= most or not value.isprintable():
        raise Unsound("wrong_type", key, f"a text of {least} to {most} characters")
    return value
