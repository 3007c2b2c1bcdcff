"""What the OpenAPI file says of each endpoint. The bytes themselves are described in the sync contract."""

from __future__ import annotations

from typing import Any

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse

OBJECT: dict[str, Any] = {"type": "object"}
TEXT: dict[str, Any] = {"type": "string"}


def answered(description: str, schema: dict[str, Any] | None = None) -> OpenApiResponse:
    return OpenApiResponse(response=schema, description=description)


def takes(**keys: dict[str, Any]) -> dict[str, Any]:
    return {"application/json": {"type": "object", "properties": keys, "required": sorted(keys)}}


PROBLEM = {
    "type": "object",
    "properties": {
        "type": TEXT,
        "title": TEXT,
        "status": {"type": "integer"},
        "detail": TEXT,
        "code": TEXT,
    },
    "required": ["type", "title", "status", "code"],
}


def problems(*told: tuple[int, str]) -> dict[tuple[int, str], OpenApiResponse]:
    return {(status, "application/problem+json"): answered(why, PROBLEM) for status, why in told}


UNKNOWN = (401, "token_unknown or phone_stopped")
JOINED = {
    "type": "object",
    "properties": {
        "phone": TEXT,
        "token": TEXT,
        "farm": OBJECT,
        "people": {"type": "array", "items": OBJECT},
        "server_time": TEXT,
    },
    "required": ["phone", "token", "farm", "people", "server_time"],
}

HELLO: dict[str, Any] = {
    "operation_id": "hello",
    "auth": [],
    "responses": {200: answered("versions, limits, time", OBJECT)},
}
ENROL: dict[str, Any] = {
    "operation_id": "enrol",
    "auth": [],
    "request": takes(code=TEXT, nonce=TEXT, label=TEXT, platform=TEXT, app=TEXT),
    "responses": {
        201: answered("joined", JOINED),
        **problems(
            (400, "bad_frame or unsound"),
            (404, "code_unknown"),
            (409, "code_used"),
            (413, "too_large"),
            (429, "too_many_tries"),
        ),
    },
}
ENROL_AGAIN: dict[str, Any] = {
    "operation_id": "enrol_again",
    "request": takes(nonce=TEXT),
    "responses": {
        201: answered("enrolled anew", JOINED),
        **problems((400, "bad_frame or unsound"), UNKNOWN, (413, "too_large")),
    },
}
TOKEN: dict[str, Any] = {
    "operation_id": "token",
    "request": takes(nonce=TEXT),
    "responses": {
        200: answered("the token that waits for its first use", OBJECT),
        **problems((400, "bad_frame or unsound"), UNKNOWN, (413, "too_large")),
    },
}
ENTRIES: dict[str, Any] = {
    "operation_id": "entries",
    "request": {"application/x-ndjson": {"type": "string", "format": "binary"}},
    "parameters": [
        OpenApiParameter("Content-Digest", str, OpenApiParameter.HEADER, required=True),
        OpenApiParameter("Content-Encoding", str, OpenApiParameter.HEADER, enum=["gzip", "identity"]),
    ],
    "responses": {
        200: answered("what became of each line", OBJECT),
        **problems((400, "bad_frame"), UNKNOWN, (409, "fork or gap"), (413, "too_large")),
    },
}
CHANGES: dict[str, Any] = {
    "operation_id": "changes",
    "parameters": [
        OpenApiParameter("since", str, description="the cursor of the page before; none: from the beginning"),
        OpenApiParameter("limit", int, description="rows at most, 1 to 2000"),
        OpenApiParameter("kinds", str, description="the kinds that the app knows, joined by commas"),
        OpenApiParameter(
            "Goodground-App", str, OpenApiParameter.HEADER, description="the app's version, x.y.z"
        ),
    ],
    "responses": {
        200: answered("a page", OBJECT),
        304: answered("nothing new"),
        **problems(UNKNOWN, (403, "app_too_old"), (409, "diverged"), (410, "start_over")),
    },
}
BOOK: dict[str, Any] = {
    "operation_id": "book",
    "parameters": [
        OpenApiParameter("from", int, description="the first number"),
        OpenApiParameter("to", int, description="the last number"),
    ],
    "responses": {
        (200, "application/x-ndjson"): answered("the book, a line a row", TEXT),
        **problems(UNKNOWN),
    },
}
TUS = OpenApiParameter("Tus-Resumable", str, OpenApiParameter.HEADER, required=True, enum=["1.0.0"])
PHOTO_ANNOUNCED: dict[str, Any] = {
    "operation_id": "photo_announced",
    "request": None,
    "parameters": [
        TUS,
        OpenApiParameter("Upload-Length", int, OpenApiParameter.HEADER, required=True),
        OpenApiParameter("Upload-Metadata", str, OpenApiParameter.HEADER, required=True),
    ],
    "responses": {
        201: answered("where its pieces go, and how far it has come"),
        **problems((400, "bad_upload"), UNKNOWN, (412, "wrong_tus"), (413, "photo_too_large or photo_quota")),
    },
}
PHOTO_OFFSET: dict[str, Any] = {
    "operation_id": "photo_offset",
    "parameters": [TUS],
    "responses": {
        200: answered("Upload-Offset and Upload-Length"),
        **problems(UNKNOWN, (404, "photo_unknown"), (412, "wrong_tus")),
    },
}
PHOTO_PIECE: dict[str, Any] = {
    "operation_id": "photo_piece",
    "request": {"application/offset+octet-stream": {"type": "string", "format": "binary"}},
    "parameters": [
        TUS,
        OpenApiParameter("Upload-Offset", int, OpenApiParameter.HEADER, required=True),
        OpenApiParameter("Upload-Checksum", str, OpenApiParameter.HEADER),
    ],
    "responses": {
        204: answered("taken"),
        **problems(
            (400, "bad_upload"),
            UNKNOWN,
            (404, "photo_unknown"),
            (409, "wrong_offset"),
            (412, "wrong_tus"),
            (413, "photo_too_large"),
            (415, "not_a_picture"),
            (460, "wrong_hash"),
        ),
    },
}
PHOTO_ENDED: dict[str, Any] = {
    "operation_id": "photo_ended",
    "parameters": [TUS],
    "responses": {204: answered("what was on its way is gone"), **problems(UNKNOWN, (412, "wrong_tus"))},
}
PHOTO: dict[str, Any] = {
    "operation_id": "photo",
    "responses": {
        (200, "image/*"): answered("the photo", {"type": "string", "format": "binary"}),
        **problems(UNKNOWN, (404, "photo_unknown")),
    },
}

SPAN = [
    OpenApiParameter("first", str, description="first day, as 2026-07-02; the year's first unless told"),
    OpenApiParameter("last", str, description="last day; today unless told"),
]
FIELDS: dict[str, Any] = {
    "operation_id": "read_fields",
    "responses": {200: answered("the fields and how each stands", OBJECT), **problems(UNKNOWN)},
}
REGISTERS: dict[str, Any] = {
    "operation_id": "read_registers",
    "responses": {
        200: answered("the registers that there are, with their columns", OBJECT),
        **problems(UNKNOWN),
    },
}
REGISTER: dict[str, Any] = {
    "operation_id": "read_register",
    "parameters": SPAN,
    "responses": {
        200: answered("the lines of a register in these days", OBJECT),
        **problems(UNKNOWN, (404, "not_here: no such register, or no such day")),
    },
}


class ProgramTokenScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """How the OpenAPI file says that a program of the farm's own shows its token."""

    target_class = "server.api.v1.reading.ByProgram"
    name = "programToken"

    def get_security_definition(self, auto_schema: Any) -> dict[str, Any]:
        return {"type": "http", "scheme": "bearer", "description": "made on the page Programs that read"}


class PhoneTokenScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """How the OpenAPI file says that a phone shows its token."""

    target_class = "server.api.v1.authentication.PhoneToken"
    name = "phoneToken"

    def get_security_definition(self, auto_schema: Any) -> dict[str, Any]:
        return {"type": "http", "scheme": "bearer"}
