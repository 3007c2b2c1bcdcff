"""The fake server's end of tus 1.0: creation, offset, pieces with checksum (contract, W14)."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field

Told = tuple[int, str, dict[str, str]]
"""Status, problem code or nothing, headers."""


@dataclass
class FakePhotos:
    """Pictures by SHA-256: how large each is to be, and what has come of it."""

    sizes: dict[str, int] = field(default_factory=dict)
    come: dict[str, bytes] = field(default_factory=dict)

    def whole(self) -> dict[str, bytes]:
        return {key: self.come[key] for key, size in self.sizes.items() if len(self.come[key]) == size}

    def asked(self, method: str, path: str, headers: Mapping[str, str], body: bytes) -> Told:
        if headers.get("Tus-Resumable") != "1.0.0":
            return 412, "wrong_tus", {}
        sha256 = path.removeprefix("photos/").strip("/")
        if method == "POST":
            return self._announced(headers)
        if sha256 not in self.sizes:
            return 404, "photo_unknown", {}
        if method == "HEAD":
            return 200, "", self._offset(sha256)
        return self._piece(sha256, headers, body)

    def _announced(self, headers: Mapping[str, str]) -> Told:
        key, _, value = headers["Upload-Metadata"].partition(" ")
        assert key == "sha256"
        sha256, size = base64.b64decode(value).decode(), int(headers["Upload-Length"])
        if size > 12 * 1_048_576:
            return 413, "photo_too_large", {}
        self.sizes.setdefault(sha256, size)
        self.come.setdefault(sha256, b"")
        return 201, "", self._offset(sha256)

    def _piece(self, sha256: str, headers: Mapping[str, str], body: bytes) -> Told:
        if int(headers["Upload-Offset"]) != len(self.come[sha256]):
            return 409, "wrong_offset", {}
        digest = base64.b64encode(hashlib.sha256(body).digest()).decode()
        if headers["Upload-Checksum"] != f"sha256 {digest}" or len(body) > 1_048_576:
            return 460, "wrong_hash", {}
        self.come[sha256] += body
        if len(self.come[sha256]) == self.sizes[sha256] and not self._is_sound(sha256):
            del self.sizes[sha256], self.come[sha256]
            return 460, "wrong_hash", {}
        return 204, "", {"Upload-Offset": str(int(headers["Upload-Offset"]) + len(body))}

    def _is_sound(self, sha256: str) -> bool:
        return hashlib.sha256(self.come[sha256]).hexdigest() == sha256

    def _offset(self, sha256: str) -> dict[str, str]:
        return {"Upload-Offset": str(len(self.come[sha256])), "Upload-Length": str(self.sizes[sha256])}
