from __future__ import annotations

from tests.server.conftest import data_folder, ground, now, phone  # noqa: F401
