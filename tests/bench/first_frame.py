"""From the start of the interpreter to the first frame: the app on a phone that has joined nothing yet, and on one of
every day (joined, with land, somebody writing), against a Kivy window with one label. Each in a process of its own,
off screen."""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from mobile.main import PHONE_FILE
from tests.bench.measure import pair, tell
from tests.mobile.presenters.desk import Desk

ROUNDS = 7
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
        new, daily = f"{folder}/new", f"{folder}/daily"
        a_daily_phone(Path(daily))
        for what, data in (("a new phone", new), ("a phone in use", daily)):
            spent: dict[str, list[float]] = {OURS: [], BARE: []}
            ours, floor = pair(
                lambda data=data, spent=spent: spent[OURS].append(_shown(OURS, folder, data)),
                lambda spent=spent: spent[BARE].append(_shown(BARE, folder, "")),
                ROUNDS,
            )
            tell(f"first frame of {what}", ours, "of a bare Kivy window", floor, "2 times or less")
            of_processor = [statistics.median(spent[script]) for script in (OURS, BARE)]
            tell("  the same, of the processor", of_processor[0], "bare", of_processor[1], "2 times or less")


def a_daily_phone(folder: Path) -> None:
    """What a phone has on its disk once it joined, pulled the land and was given to somebody."""
    folder.mkdir()
    desk = Desk(folder)
    desk.phone.book.close()
    for file in folder.glob("phone1.sqlite*"):
        file.rename(folder / file.name.replace("phone1.sqlite", PHONE_FILE))


def _shown(script: str, folder: str, data: str) -> float:
    """The seconds of the processor that it took: what a busy machine tells best."""
    said = os.environ | {
        "SDL_VIDEODRIVER": "offscreen",
        "KIVY_NO_ARGS": "1",
        "KIVY_NO_CONSOLELOG": "1",
        "KIVY_HOME": f"{folder}/kivy",
        "PYTHONPATH": str(ROOT),
    }
    file = Path(folder) / "shown.py"
    file.write_text(script)
    command = [sys.executable, str(file), data]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(command, env=said, timeout=60, cwd=ROOT, capture_output=True, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert done.returncode == 0, done.stderr.decode()[-2000:]
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
