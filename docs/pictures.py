"""The pictures in docs/pictures: the demo's phone in a real window, the demo's pages in headless Chromium.

    python docs/pictures.py [--data DIR]

Without ``--data`` the farm is laid anew in a folder of its own, which takes a minute. What is started here is ended.
"""

from __future__ import annotations

import argparse
import math
import os
import shlex
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), str(ROOT / "tests/main_job"), str(ROOT / "docs")]

import page_pictures as page_pictures_of  # noqa: E402
from PIL import Image, ImageGrab  # noqa: E402
from playwright.sync_api import Page, sync_playwright  # noqa: E402
from the_window import PhoneWindow, start_display  # noqa: E402

from demo_fixtures import farm, ground, people, tracks  # noqa: E402
from demo_fixtures.ground import Spot  # noqa: E402
from demo_fixtures.stands import DUE_TO_MOW  # noqa: E402

INTO = ROOT / "docs/pictures"
MOST_BYTES = 300_000
COLOURS = 64
CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
]
HEIGHTS_IN = (62, 58, 71, 66, 60, 64, 69, 57, 63, 67)
HEADED = (3, 7)
SHOWN_STOP = 5
COVER = "sorghum_sudan"
TURNED_BACK = "Fallowdale 9"
ASTRAY_DEG = 35.0
SETTLED_S = 0.8
PATIENCE_S = 240


class Walker:
    """A receiver that says four times a second where it is and which way it goes, into a pipe."""

    def __init__(self, pipe: Path) -> None:
        self.pipe = pipe
        os.mkfifo(pipe)
        self.at: Spot = farm.GATE
        self.course_deg: float | None = None
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._speak, daemon=True)
        self._thread.start()

    def stand(self, at: Spot, course_deg: float | None = None) -> None:
        self.at, self.course_deg = at, course_deg

    def _speak(self) -> None:
        handle = os.open(self.pipe, os.O_RDWR | os.O_NONBLOCK)
        while not self._ended.wait(0.25):
            lat, lon = ground.degrees(self.at)
            speed = 0.0 if self.course_deg is None else tracks.WALK_M_S
            fix = tracks.Fix(datetime.now(UTC), lat, lon, speed, self.course_deg or 0.0, 1.5)
            try:
                os.write(handle, "".join(f"{line}\r\n" for line in tracks.told(fix)).encode("ascii"))
            except BlockingIOError:
                continue
        os.close(handle)

    def end(self) -> None:
        self._ended.set()
        self._thread.join(5)


@contextmanager
def demo(data: Path) -> Iterator[tuple[str, list[str]]]:
    """The demo's server: the sign-in link of this run, and the phone's options that the demo prints."""
    log = data.with_name(data.name + ".log")
    with log.open("wb") as file:
        command = [sys.executable, "-m", "demo_fixtures", "show", "--no-phone", "--data", str(data)]
        process = subprocess.Popen(
            command, cwd=ROOT, stdout=file, stderr=file, env=os.environ | {"LANG": "C"}
        )
    try:
        end = time.monotonic() + PATIENCE_S
        while "mobile.main" not in log.read_text("utf-8"):
            if process.poll() is not None or time.monotonic() > end:
                raise SystemExit(f"the demo did not start:\n{log.read_text('utf-8')}")
            time.sleep(0.2)
        words = log.read_text("utf-8").split()
        link = next(word for word in words if "/sign-in/" in word)
        phone = next(line for line in log.read_text("utf-8").splitlines() if "mobile.main" in line)
        yield link, shlex.split(phone)
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(30)


def kept(picture: Image.Image, name: str) -> None:
    """Few colours, as the pages and the glass have few: small files that stay sharp."""
    file = INTO / f"{name}.png"
    picture.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(file, optimize=True)
    print(f"{file.relative_to(ROOT)}: {file.stat().st_size:,} bytes")
    assert file.stat().st_size < MOST_BYTES, f"{name} is too large"


class Phone:
    """The demo's phone in a window of its own, somewhere on the farm."""

    def __init__(self, window: PhoneWindow, walker: Walker) -> None:
        self.window, self.walker = window, walker

    def shot(self, name: str) -> None:
        time.sleep(SETTLED_S)
        kept(ImageGrab.grab(xdisplay=self.window.display), name)

    def sign(self, digits: str) -> None:
        for digit in digits:
            self.window.tap(f"pad.{digit}")

    def stop(self, number: int) -> None:
        for figure in str(HEIGHTS_IN[number - 1]):
            self.window.tap(f"pad.{figure}")
        self.window.tap("round.heads.few" if number in HEADED else "round.heads.none")

    def walk(self) -> None:
        """A cover round of ten stops in the field that wants mowing."""
        _, stops = tracks.round_way()
        self.walker.stand(stops[0])
        self.window.shows(farm.BY_KEY[DUE_TO_MOW].name + " / ")
        self.window.thing("here.cover")
        self.shot("phone-here")
        self.window.tap("here.cover")
        self.window.tap(f"round.cover.{COVER}")
        self.window.tap("round.save")
        for number, spot in enumerate(stops, 1):
            self.window.thing("round.save", f"Save stop {number}")
            if number == SHOWN_STOP:
                self.shown_on_the_way(stops[number - 2], spot)
            else:
                self.walker.stand(spot)
                time.sleep(SETTLED_S)
                self.stop(number)
            self.window.tap("round.save")
        self.window.thing("round.save", "Done")
        self.window.tap("round.save")
        self.window.screen("here")

    def shown_on_the_way(self, before: Spot, spot: Spot) -> None:
        """A few steps short of the stop and walking a little left of it, with the figure keyed already."""
        short = (before[0] + (spot[0] - before[0]) * 0.7, before[1] + (spot[1] - before[1]) * 0.7)
        east, north = spot[0] - before[0], spot[1] - before[1]
        bearing_deg = math.degrees(math.atan2(east, north) - ground.TURNED) % 360
        self.walker.stand(short, course_deg=(bearing_deg - ASTRAY_DEG) % 360)
        self.stop(SHOWN_STOP)
        time.sleep(2 * SETTLED_S)
        self.shot("phone-round")
        self.walker.stand(spot)
        time.sleep(SETTLED_S)

    def thing(self, start: str, part: str = "") -> str:
        """The id of the first thing on the glass whose id begins so and that says so."""

        def fits(one: dict[str, Any]) -> bool:
            return one["id"].startswith(start) and part in one["label"] and not one["id"].endswith(".back")

        seen = self.window.wait(lambda seen: any(fits(one) for one in seen["things"]))
        ids = [one for one in seen["things"] if fits(one)]
        return str(min(ids, key=lambda one: one["y"])["id"])

    def gate(self) -> None:
        """One load taken and one turned back, in English; the next begun by somebody who reads Spanish."""
        self.walker.stand(farm.GATE)
        self.window.tap("here.more")
        self.window.tap("more.gate")
        self.window.screen("gate")
        self.window.tap("gate.ground")
        self.window.tap(self.thing("gate_field.0", "left"))
        self.window.tap(self.thing("gate.truck."))
        self.window.tap("gate.fill.80")
        self.window.tap("gate.seen.clean")
        self.window.shows(" taken")
        self.turn_back()
        self.window.tap("gate.back")
        self.window.tap("here.more")
        self.window.tap("more.who")
        self.sign(people.ANA.digits)
        self.window.screen("here")
        self.window.tap("here.gate")
        self.window.tap(self.thing("gate.truck."))
        self.window.tap("gate.fill.90")
        self.shot("phone-gate-es")

    def turn_back(self) -> None:
        self.window.tap(self.thing("gate.truck.", TURNED_BACK) + ".back")
        self.window.tap("turn_back.reason.bags")
        self.window.tap("turn_back.save")
        self.window.shows(" turned back")


def phone_pictures(data: Path, said: list[str]) -> None:
    display, name = start_display()
    walker = Walker(data / "pictures.nmea")
    window = PhoneWindow(name, data)
    try:
        options = [word for word in said if not word.endswith("python")][2:]
        for option in ("--data", "--size", "--nmea"):
            if option in options:
                at = options.index(option)
                del options[at : at + 2]
        window.start(*options, "--nmea", str(walker.pipe), "--language", "en")
        phone = Phone(window, walker)
        window.screen("who")
        phone.sign(people.TOBIN.digits)
        phone.walk()
        phone.gate()
        window.wait(lambda seen: True)
    finally:
        window.end()
        walker.end()
        walker.pipe.unlink()
        display.terminate()
        display.wait()


def page_pictures(data: Path, link: str) -> None:
    def shot(page: Page, name: str) -> None:
        file = data / "page.png"
        page.screenshot(path=str(file))
        kept(Image.open(file), name)

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(link)
        page.click("main button")
        page.wait_for_selector("table.land")
        home = page.url
        shot(page, "lie-of-the-land")
        page.goto(f"{home}evening/")
        shot(page, "evening-reading")
        page.set_viewport_size({"width": 1280, "height": 1280})
        page.goto(f"{home}field/{farm.BY_KEY[DUE_TO_MOW].id}/")
        shot(page, "field")
        page_pictures_of.take(page, home, str(farm.BY_KEY[DUE_TO_MOW].id), shot)
        browser.close()


def take(data: Path) -> None:
    with demo(data) as (link, said):
        phone_pictures(data, said)
        page_pictures(data, link)


def missing() -> list[str]:
    """The programs that the pictures want and that are not here."""
    from shutil import which

    return [one for one in ("Xvfb", "xdotool", CHROMIUM) if which(one) is None]


def main(words: list[str]) -> int:
    asked = argparse.ArgumentParser(description="Take the pictures of docs/pictures from the demo.")
    asked.add_argument("--data", type=Path, help="a demo's folder, laid already or not")
    chosen = asked.parse_args(words)
    if missing():
        print(
            f"no pictures: {', '.join(missing())} not found; see tests/system-packages.txt", file=sys.stderr
        )
        return 1
    INTO.mkdir(exist_ok=True)
    if chosen.data:
        take(chosen.data.resolve())
        return 0
    with tempfile.TemporaryDirectory() as folder:
        take(Path(folder) / "demo")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
