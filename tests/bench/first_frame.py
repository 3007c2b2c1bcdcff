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
ONE_FRAME = """
import os, sys
from kivy.core.window import Window
Window.bind(on_flip=lambda *_: os._exit(0))
"""
BARE = (
    ONE_FRAME
    + """
from kivy.app import App
from kivy.uix.label import Label
class Bare(App):
    def build(self):
        return Label(text="a bare window")
Bare().run()
"""
)
OURS = """
import os, sys
from kivy.clock import Clock
from mobile.app import GoodgroundApp
from mobile import main
began = GoodgroundApp.on_start
def on_start(app):
    began(app)
    from kivy.core.window import Window
    Window.bind(on_flip=lambda *_: os._exit(0))
GoodgroundApp.on_start = on_start
main.main(["--data", sys.argv[1]])
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
    done = subprocess.run([sys.executable, "-c", script, f"{folder}/data"], env=said, timeout=60, cwd=ROOT)
    assert done.returncode == 0, done.returncode
