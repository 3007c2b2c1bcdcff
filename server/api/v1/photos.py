"""Photos by tus 1.0, the core with creation, checksum and termination, each named by its SHA-256 (contract, W14)."""

from __future__ import annotations

import base64
import binascii
import re
from typing import Any, ClassVar

from django.http import FileResponse, HttpResponse
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request

from server.api.v1 import describing
from server.api.v1.endpoint import Endpoint
from server.people.clock import now
from server.people.models import Phone
from server.photos import reads, writes
from server.photos.errors import BadUpload, PhotoTooLarge, PhotoUnknown
from shared.wire.scalars import SHA_TEXT

VERSION = "1.0.0"
PIECE_TYPE = "application/offset+octet-stream"
ABOUT = {
    "Tus-Version": VERSION,
    "Tus-Extension": "creation,checksum,termination",
    "Tus-Max-Size": str(writes.MOST_BYTES),
    "Tus-Checksum-Algorithm": "sha256",
}
_NUMBER = re.compile(r"0|[1-9][0-9]{0,9}", re.ASCII)


class TusEndpoint(Endpoint):
    """Every answer says the version; a request that says another is 412."""

    phone: Phone
    speaks_tus: ClassVar[tuple[str, ...]] = ("POST", "HEAD", "PATCH", "DELETE")

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        if request.method in self.speaks_tus and request.headers.get("Tus-Resumable") != VERSION:
            raise WrongVersion

    def finalize_response(self, request: Request, response: Any, *args: Any, **kwargs: Any) -> Any:
        response = super().finalize_response(request, response, *args, **kwargs)
        response["Tus-Resumable"] = VERSION
        if response.status_code == 412:
            response["Tus-Version"] = VERSION
        return response


class WrongVersion(BadUpload):
    """Another version of the protocol."""

    code = "wrong_tus"

    def __init__(self) -> None:
        super().__init__(f"Tus-Resumable: {VERSION}")


class PhotosView(TusEndpoint):
    """Announcing a photo."""

    @extend_schema(exclude=True)
    def options(self, request: Request, *args: Any, **kwargs: Any) -> HttpResponse:
        return HttpResponse(status=204, headers=ABOUT)

    @extend_schema(**describing.PHOTO_ANNOUNCED)
    def post(self, request: Request) -> HttpResponse:
        size = number(request, "Upload-Length")
        sha256 = told(request).get("sha256", "")
        if SHA_TEXT.fullmatch(sha256) is None:
            raise BadUpload("Upload-Metadata: sha256 with the 64 hex digits, in base64")
        here = writes.announce(self.phone, sha256, size, now())
        out = HttpResponse(status=201)
        out["Location"] = request._request.build_absolute_uri(f"{request.path}{sha256}/")
        out["Upload-Offset"] = str(here.offset)
        return out


class PhotoView(TusEndpoint):
    """One photo: how far it has come, the next piece, the whole."""

    @extend_schema(**describing.PHOTO_OFFSET)
    def head(self, request: Request, sha256: str) -> HttpResponse:
        here = reads.coming(self.phone.farm_id, sha256)
        if here is None:
            raise PhotoUnknown
        out = HttpResponse(status=200)
        out["Upload-Offset"], out["Upload-Length"] = str(here.offset), str(here.size)
        out["Cache-Control"] = "no-store"
        return out

    @extend_schema(**describing.PHOTO_PIECE)
    def patch(self, request: Request, sha256: str) -> HttpResponse:
        if request.headers.get("Content-Type") != PIECE_TYPE:
            raise BadUpload(f"Content-Type: {PIECE_TYPE}")
        offset = number(request, "Upload-Offset")
        reached = writes.take(self.phone, sha256, offset, piece(request), checksum(request), now())
        out = HttpResponse(status=204)
        out["Upload-Offset"] = str(reached.offset)
        return out

    @extend_schema(**describing.PHOTO_ENDED)
    def delete(self, request: Request, sha256: str) -> HttpResponse:
        writes.terminate(self.phone, sha256)
        return HttpResponse(status=204)

    @extend_schema(**describing.PHOTO)
    def get(self, request: Request, sha256: str) -> FileResponse:
        found = reads.file(self.phone.farm_id, sha256)
        if found is None:
            raise PhotoUnknown
        out = FileResponse(found[0].open("rb"), content_type=found[1])
        out["Cache-Control"] = "private, max-age=31536000, immutable"
        return out


def number(request: Request, name: str) -> int:
    text = request.headers.get(name, "")
    if _NUMBER.fullmatch(text) is None:
        raise BadUpload(f"{name}: a whole number")
    return int(text)


def piece(request: Request) -> bytes:
    # A photo is packed already: nothing here is ever inflated.
    if request.headers.get("Content-Encoding", "identity") != "identity":
        raise BadUpload("Content-Encoding: none, a piece comes as it is")
    length = int(request.META.get("CONTENT_LENGTH") or 0)
    if length > writes.MOST_PIECE_BYTES:
        raise PhotoTooLarge(length, writes.MOST_PIECE_BYTES)
    body: bytes = request._request.read(writes.MOST_PIECE_BYTES + 1)
    if len(body) != length:
        raise BadUpload("the piece was cut short")
    return body


def told(request: Request) -> dict[str, str]:
    """Upload-Metadata: keys with values in base64, joined by commas."""
    out = {}
    for pair in request.headers.get("Upload-Metadata", "").split(","):
        key, _, value = pair.strip().partition(" ")
        try:
            out[key] = base64.b64decode(value, validate=True).decode("utf-8")
        except (binascii.Error, UnicodeDecodeError):
            raise BadUpload("Upload-Metadata: values in base64") from None
    return out


def checksum(request: Request) -> bytes | None:
    text = request.headers.get("Upload-Checksum")
    if text is None:
        return None
    algorithm, _, value = text.partition(" ")
    try:
        digest = base64.b64decode(value, validate=True)
    except binascii.Error:
        digest = b""
    if algorithm != "sha256" or len(digest) != 32:
        raise BadUpload("Upload-Checksum: sha256 and the digest in base64")
    return digest
