"""From the start of the interpreter to the first frame: the app on a phone that has joined nothing yet, against a Kivy
window with one label. Each in a process of its own, off screen."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.measure import pair, tell

ROUNDS = 5
ROOT = Path(__file__).resolve().parents[2]
BARE = """
import os
from kivy.app import App
from kivy.core.window import Window
from kivy.uix.label import Label
class Bare(App):
    def build(self):
        return Label(text="a bare window")
app = Bare()
Window.bind(on_flip=lambda *_: app.root and os._exit(0))
app.run()
"""
OURS = """
import os, sys
from mobile.main import build
app = build(["--data", sys.argv[1]])
from kivy.core.window import Window
Window.bind(on_flip=lambda *_: app.root and app.root.children and os._exit(0))
app.run()
"""


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        ours, floor = pair(lambda: _shown(OURS, folder), lambda: _shown(BARE, folder), ROUNDS)
    tell("first frame of the app", ours, "of a bare Kivy window", floor, "2 times or less")


def _shown(script: str, folder: str) -> None:
    said = os.environ | {
        "SDL_VIDEODRIVER": "offscreen",
        "KIVY_NO_ARGS": "1",
        "KIVY_NO_CONSOLELOG": "1",
        "KIVY_HOME": f"{folder}/kivy",
        "PYTHONPATH": str(ROOT),
    }
    file = Path(folder) / "shown.py"
    file.write_text(script)
    command = [sys.executable, str(file), f"{folder}/data"]
    done = subprocess.run(command, env=said, timeout=60, cwd=ROOT, capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()[-2000:]
