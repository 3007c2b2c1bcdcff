"""The real phone app in a real window, tapped by a real pointer: Xvfb, xdotool, and nothing of ours in between.

The app says with ``--report`` where its things stand; a tap moves the X pointer there and presses the button.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
SIZE = "412x915"
PATIENCE_S = 30.0


def start_display() -> tuple[subprocess.Popen[bytes], str]:
    """An X server of our own. Two that look for a free number at the same moment may take the same one, so the
    number follows from the process, and the server counts as started once a client was let in."""
    for number in range(1_000 + os.getpid() % 50_000, 64_000, 97):
        server = subprocess.Popen(
            ["Xvfb", f":{number}", "-screen", "0", f"{SIZE}x24", "-nolisten", "tcp", "-noreset"],
            stderr=subprocess.DEVNULL,
        )
        end = time.monotonic() + PATIENCE_S
        while server.poll() is None and time.monotonic() < end:
            asked = ["xdotool", "getdisplaygeometry"]
            if not subprocess.run(
                asked, env={**os.environ, "DISPLAY": f":{number}"}, capture_output=True
            ).returncode:
                return server, f":{number}"
            time.sleep(0.05)
        server.kill()
        server.wait()
    raise RuntimeError("no X server could be started")


@dataclass
class PhoneWindow:
    """One phone: its folder outlives the app, so that it can be killed and started again."""

    display: str
    folder: Path
    pointer_events: int = 0
    process: subprocess.Popen[bytes] | None = None
    options: list[str] = field(default_factory=list)

    @property
    def report(self) -> Path:
        return self.folder / "report.jsonl"

    @property
    def log(self) -> str:
        file = self.folder / "app.log"
        return file.read_text("utf-8", "replace") if file.exists() else ""

    def start(self, *options: str) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        self.report.unlink(missing_ok=True)
        environment = {
            name: value for name, value in os.environ.items() if not name.startswith(("KIVY", "SDL"))
        }
        environment |= {"DISPLAY": self.display, "SDL_VIDEODRIVER": "x11", "LANG": "C.UTF-8"}
        with (self.folder / "app.log").open("ab") as log:
            self.process = subprocess.Popen(
                [
                    *(sys.executable, "-m", "mobile.main", "--data", str(self.folder / "phone")),
                    *("--size", SIZE, "--report", str(self.report), *(options or self.options)),
                ],
                cwd=ROOT,
                env=environment,
                stdout=log,
                stderr=log,
            )
        self.options = list(options or self.options)
        self.wait(lambda seen: bool(seen["things"]))
        # With no window manager the first click is swallowed and keys go nowhere until the window has the focus.
        found = ["search", "--sync", "--onlyvisible", "--pid", str(self.process.pid), "windowfocus"]
        subprocess.run(["xdotool", *found], env=self._environment(), check=True, stdout=subprocess.DEVNULL)

    def _environment(self) -> dict[str, str]:
        return dict(os.environ, DISPLAY=self.display)

    def kill(self) -> None:
        """SIGKILL: no handler runs, nothing is flushed."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()
        self.process = None

    def end(self) -> None:
        if self.process is not None:
            self.process.send_signal(signal.SIGTERM)
            with suppress(subprocess.TimeoutExpired):
                self.process.wait(5)
            if self.process.poll() is None:
                self.process.kill()
                self.process.wait()
            self.process = None

    def seen(self) -> dict[str, Any]:
        """The last screen that settled."""
        if not self.report.exists():
            return {"screen": "", "things": []}
        lines = self.report.read_text("utf-8").splitlines()
        for line in reversed(lines):
            with suppress(json.JSONDecodeError):
                seen: dict[str, Any] = json.loads(line)
                return seen
        return {"screen": "", "things": []}

    def wait(self, holds: Callable[[dict[str, Any]], bool], patience_s: float = PATIENCE_S) -> dict[str, Any]:
        """What is seen once it holds; the poll is short, since the app itself says when a screen has settled."""
        end = time.monotonic() + patience_s
        while True:
            seen = self.seen()
            if holds(seen):
                return seen
            assert self.process is None or self.process.poll() is None, f"the app ended: {self.log[-3000:]}"
            assert time.monotonic() < end, f"waited in vain; seen: {self.told(seen)}\n{self.log[-2000:]}"
            time.sleep(0.03)

    @staticmethod
    def told(seen: dict[str, Any]) -> str:
        things = "; ".join(f"{one['id']}={one['label']!r}" for one in seen["things"])
        return f"{seen['screen']}: {things} | " + " / ".join(seen.get("words", ()))

    def thing(self, name: str, label: str = "") -> dict[str, Any]:
        """A thing by its id (or the start of it) and what is written on it, once it is there and alive."""

        def there(seen: dict[str, Any]) -> bool:
            return any(self._is(one, name, label) and not one["dead"] for one in seen["things"])

        seen = self.wait(there)
        return next(one for one in seen["things"] if self._is(one, name, label) and not one["dead"])

    @staticmethod
    def _is(one: dict[str, Any], name: str, label: str) -> bool:
        return one["id"] == name and label in one["label"]

    def tap(self, name: str, label: str = "") -> None:
        thing = self.thing(name, label)
        self.click(thing["x"], thing["y"])

    def click(self, x: float, y: float) -> None:
        self._xdotool("mousemove", str(x), str(y), "sleep", "0.03", "click", "1")
        self.pointer_events += 1

    def type(self, name: str, text: str) -> None:
        """Tap a line to be typed, and type it."""
        self.tap(name)
        self._xdotool("sleep", "0.2", "type", "--delay", "25", text)

    def _xdotool(self, *words: str) -> None:
        subprocess.run(["xdotool", *words], env=self._environment(), check=True, stdout=subprocess.DEVNULL)

    def screen(self, name: str) -> dict[str, Any]:
        return self.wait(lambda seen: seen["screen"] == name)

    def shows(self, words: str) -> dict[str, Any]:
        """Wait until these words stand somewhere on the screen."""
        return self.wait(lambda seen: words in self.told(seen))

    def picture(self, file: Path) -> None:
        subprocess.run(["import", "-window", "root", str(file)], env=self._environment(), check=False)
