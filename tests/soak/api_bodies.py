"""How schemathesis writes the bodies that are no JSON: a push and a piece of a photo."""

from __future__ import annotations

import json
from typing import Any

import schemathesis


@schemathesis.serializer("application/x-ndjson", "application/offset+octet-stream")
def as_bytes(context: Any, value: Any) -> bytes:
    if isinstance(value, bytes):
        return value
    return bytes(value.data) if hasattr(value, "data") else json.dumps(value).encode()
