"""``python -m tests.server.web.pages_shoot``: every page in pictures, wide, at 360 px and as it prints,
full, empty and refused; and what axe finds wrong on any of them, or what is wider than its window.

Takes the demo's farm from a data folder that was laid before (``--data``), else lays one for itself.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urljoin

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.server.serving import command, serving
from tests.server.web.chromium import NARROW, WIDE, chromium, runs_over

INTO = Path("screens/pages")
TALLEST = 4000
LINKS = {
    "field": "table.land td.field a",
    "entry": "table.spread a.what[href*='/entry/']",
    "round": "a[href*='/round/']",
    "town": "p.as a[href*='/gate/town/']",
    "letter": "a[href*='/letter/']",
    "drawn-field": "table.tally a[href*='/ground/']",
    "sketch": "a[href*='/ahead/plan/']:not([href$='/plan/'])",
    "person": "table.spread a[href*='/people/']",
    "correct": "a[href*='/correct/']",
}
FOUND_ON = {
    "field": "",
    "town": "gate/",
    "letter": "the town",
    "drawn-field": "the-farm/ground/",
    "sketch": "ahead/plan/",
    "person": "the-farm/people/",
    "correct": "the entry",
}
"""The page on which the link stands: by its address, or one that was found before it; for the rest it is the day's
evening reading."""
FIXED = {
    "lie-of-the-land": "",
    "land-as-a-map": "?as=map",
    "evening-reading": "evening/",
    "held": "evening/held/",
    "gate-sheets": "gate/",
    "piles": "gate/piles/",
    "registers": "registers/",
    "leaf-intake": "registers/leaf_intake/",
    "turned-back": "registers/turned_back/",
    "worked-in": "registers/worked_in/",
    "field-history": "registers/field_history/",
    "links": "registers/links/",
    "write": "evening/write/",
    "write-a-load": "evening/write/load/",
    "jobs": "evening/jobs/",
    "papers": "the-farm/papers/",
    "samples": "the-farm/samples/",
    "a-laboratorys-file": "the-farm/samples/file/",
    "carry": "the-farm/phones/carry/",
    "ahead": "ahead/",
    "forecasts": "ahead/forecasts/",
    "ten-year-plan": "ahead/plan/",
    "reports": "reports/",
    "report-of-the-rest": "reports/rest/",
    "report-of-the-book": "reports/book/",
    "report-of-a-year": "reports/2026/",
    "fertilizer": "ahead/fertilizer/",
    "fertilizer-rates": "ahead/fertilizer/rates/",
    "weather": "the-farm/weather/",
    "second-step": "the-farm/second-step/",
    "programs": "the-farm/programs/",
    "farm-file": "the-farm/file/",
    "reckoner": "reckoner/",
    "room-reckoned": "reckoner/leaf_room/",
    "the-farm": "the-farm/",
    "land": "the-farm/ground/",
    "new-buffer": "the-farm/ground/new/?what=buffer",
    "outlines-from-a-file": "the-farm/outlines/",
    "days-and-units": "the-farm/days/",
    "password": "the-farm/password/",
    "people": "the-farm/people/",
    "phones": "the-farm/phones/",
    "towns": "the-farm/towns/",
    "rule-sheets": "the-farm/sheets/",
    "no-such-page": "nowhere/",
    "no-such-day": "evening/?day=soon",
}


def demo(*words: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "demo_fixtures", *words], capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def addresses(page: Page, farm: str, day: str | None) -> Iterator[tuple[str, str]]:
    """Every page by the name of its picture; what has an id in its address is found on a page before it."""
    for name, path in FIXED.items():
        yield name, urljoin(farm, path)
    day_address = urljoin(farm, "evening/" + (f"?day={day}" if day else ""))
    if day:
        yield "evening-of-a-day", day_address
    known: dict[str, str] = {}
    for name, link in LINKS.items():
        on = FOUND_ON.get(name)
        earlier = known.get((on or "").removeprefix("the "))
        page.goto(day_address if on is None else earlier or urljoin(farm, on))
        found = page.query_selector(link)
        if found is not None:
            known[name] = urljoin(farm, found.get_attribute("href") or "")
            yield name, known[name]


def shoot(browser: Browser, base: str, secret: str, into: Path, day: str | None = None) -> list[str]:
    """Sign in by the secret and take every page's picture, wide and narrow; what axe finds wrong, a line each."""
    into.mkdir(parents=True, exist_ok=True)
    page, axe = browser.new_page(viewport=WIDE), Axe()
    wrong: list[str] = []
    for width, look in (("wide", WIDE), ("narrow", NARROW)):
        page.set_viewport_size(look)
        page.goto(urljoin(base, "sign-in/"))
        _take(page, into / f"sign-in-{width}.png")
    page.goto(urljoin(base, f"sign-in/{secret}/"))
    page.click("main button")
    farm = page.url
    for name, address in list(addresses(page, farm, day)):
        for width, look in (("wide", WIDE), ("narrow", NARROW)):
            page.set_viewport_size(look)
            page.goto(address)
            _take(page, into / f"{name}-{width}.png")
            if runs_over(page) > 0:
                wrong.append(f"{into.name} {name}: {runs_over(page)} px too wide, {width}")
        found = axe.run(page).response["violations"]
        wrong += [f"{into.name} {name}: {one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]
        page.set_viewport_size(WIDE)
        page.emulate_media(media="print")
        _take(page, into / f"{name}-print.png")
        page.emulate_media(media="screen")
    page.close()
    return wrong


def _take(page: Page, file: Path) -> None:
    height = min(TALLEST, page.evaluate("document.documentElement.scrollHeight"))
    width = page.viewport_size["width"] if page.viewport_size else WIDE["width"]
    page.screenshot(path=file, full_page=True, clip={"x": 0, "y": 0, "width": width, "height": height})


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, help="a folder with the demo's farm laid in it")
    parser.add_argument("--into", type=Path, default=INTO)
    parser.add_argument("--day", default=None, help="a day with entries, for the evening reading")
    told = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        data = told.data
        if data is None:
            data = Path(folder) / "demo"
            demo("lay", "--data", str(data))
        with serving(data) as (host, port):
            secret = demo("sign-in", "--data", str(data))
            wrong = shoot(browser, f"http://{host}:{port}/", secret, told.into, told.day)
        empty = Path(folder) / "empty"
        link = command(empty, "new-farm", "Bare Acre").strip()
        with serving(empty) as (host, port):
            secret = link.rstrip("/").rsplit("/", 1)[-1]
            wrong += shoot(browser, f"http://{host}:{port}/", secret, told.into / "empty")
    print(told.into)
    print("\n".join(wrong))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
