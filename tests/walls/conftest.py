from __future__ import annotations

from tests.server.conftest import ground, now, phone  # noqa: F401
