"""Presenters and actions run where there is no Kivy."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[3]
ASK = """
import importlib, pkgutil, sys
import mobile.presenters as those
for one in pkgutil.iter_modules(those.__path__):
    importlib.import_module(f"mobile.presenters.{one.name}")
print(sorted(name for name in sys.modules if name.partition(".")[0] == "kivy"))
"""


def test_no_presenter_brings_kivy_in() -> None:
    run = subprocess.run([sys.executable, "-c", ASK], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
