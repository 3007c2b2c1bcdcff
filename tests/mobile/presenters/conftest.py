"""A desk for each test."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.mobile.presenters.desk import Desk


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(tmp_path)
