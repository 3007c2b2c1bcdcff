"""Kivy without a screen: real rendering on the offscreen driver, no input of its own, nothing kept at home."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
os.environ.setdefault("KIVY_NO_ARGS", "1")
os.environ.setdefault("KIVY_NO_FILELOG", "1")
os.environ.setdefault("KIVY_LOG_MODE", "PYTHON")
os.environ.setdefault("KIVY_NO_CONFIG", "1")
os.environ.setdefault("KIVY_METRICS_DENSITY", "1")
os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="goodground-kivy-"))

from kivy.config import Config

for _key, _value in {"width": "412", "height": "915"}.items():
    Config.set("graphics", _key, _value)
for _name, _ in Config.items("input"):
    Config.remove_option("input", _name)

if TYPE_CHECKING:
    from tests.mobile.stage import Stage


@pytest.fixture
def stage(tmp_path: Path) -> Iterator[Stage]:
    """The app on the glass, joined to a farm with land, with nobody's hand but the test's."""
    from tests.mobile.stage import Stage

    with Stage(tmp_path).joined() as ready:
        yield ready


@pytest.fixture
def bare_stage(tmp_path: Path) -> Iterator[Stage]:
    """The app on the glass as it comes: in no farm."""
    from tests.mobile.stage import Stage

    with Stage(tmp_path) as ready:
        yield ready
