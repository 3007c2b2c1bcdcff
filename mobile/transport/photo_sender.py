"""Pictures by tus 1.0, the core with creation and checksum, each named by its SHA-256 (contract, W14)."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from typing import Protocol

from mobile.replies import Link, Reply
from mobile.transport.answers import NOT_THERE, reply_of
from shared.words.entry import Photo

TUS = {"Tus-Resumable": "1.0.0"}
PIECE_TYPE = "application/offset+octet-stream"
Answer = tuple[int, Mapping[str, str], bytes]


class Sends(Protocol):
    def _send(
        self,
        link: Link,
        method: str,
        path: str,
        body: bytes | None,
        query: dict[str, str] | None,
        headers: dict[str, str],
    ) -> Answer | None: ...


class PhotoSender:
    """The part of the server port that takes pictures. Over ``HttpServer._send``."""

    def photo_offset(self: Sends, link: Link, sha256: str) -> Reply[int]:
        answer = self._send(link, "HEAD", f"photos/{sha256}/", None, None, TUS)
        if answer is not None and answer[0] == 404:
            return Reply("settled", None)
        return _offset(answer)

    def announce_photo(self: Sends, link: Link, photo: Photo) -> Reply[int]:
        named = base64.b64encode(photo.sha256.encode()).decode()
        headers = {"Upload-Length": str(photo.bytes), "Upload-Metadata": f"sha256 {named}"}
        return _offset(self._send(link, "POST", "photos/", b"", None, TUS | headers), otherwise="0")

    def send_piece(self: Sends, link: Link, sha256: str, offset: int, piece: bytes) -> Reply[int]:
        digest = base64.b64encode(hashlib.sha256(piece).digest()).decode()
        headers = {
            "Content-Type": PIECE_TYPE,
            "Upload-Offset": str(offset),
            "Upload-Checksum": f"sha256 {digest}",
        }
        return _offset(self._send(link, "PATCH", f"photos/{sha256}/", piece, None, TUS | headers))


def _offset(answer: Answer | None, otherwise: str = "") -> Reply[int]:
    """How far it has come, from the header that every tus answer has."""
    if answer is None:
        return NOT_THERE
    status, headers, content = answer
    if status not in (200, 201, 204):
        return reply_of(status, headers, content, _nothing)
    reached = headers.get("Upload-Offset", otherwise)
    return Reply("settled", int(reached)) if reached.isdecimal() else NOT_THERE


def _nothing(tree: object) -> int:
    raise ValueError
