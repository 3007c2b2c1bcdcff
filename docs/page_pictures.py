"""The manager's pages that the docs show, each as its address under the farm and how much of it is seen."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urljoin

from playwright.sync_api import Page

Shot = Callable[[Page, str], None]
WIDTH = 1280
FIXED = {
    "land-as-a-map": ("?as=map", 900),
    "gate-sheets": ("gate/", 1000),
    "leaf-intake-register": ("registers/leaf_intake/", 800),
    "next-jobs": ("ahead/", 900),
    "ten-year-plan": ("ahead/plan/", 900),
    "land-drawn": ("the-farm/ground/", 900),
    "soil-tests": ("the-farm/samples/", 800),
    "papers": ("the-farm/papers/", 800),
}
PLOTS_TALL = 1250


def take(page: Page, home: str, field: str, shot: Shot) -> None:
    """Each page from its top; of a field the plots; of the gate one town; of the evening one entry, opened."""
    for name, (path, tall) in FIXED.items():
        page.set_viewport_size({"width": WIDTH, "height": tall})
        page.goto(urljoin(home, path))
        page.wait_for_load_state("networkidle")
        shot(page, name)
    _through(page, urljoin(home, "gate/"), "p.as a[href*='/gate/town/']")
    page.set_viewport_size({"width": WIDTH, "height": 900})
    shot(page, "town-season")
    page.set_viewport_size({"width": WIDTH, "height": PLOTS_TALL})
    page.goto(urljoin(home, f"field/{field}/"))
    page.evaluate("document.querySelector('.plots').parentElement.scrollIntoView()")
    shot(page, "field-plots")
    page.set_viewport_size({"width": WIDTH, "height": 900})
    _through(page, urljoin(home, "evening/held/"), "main a[href*='/entry/']")
    shot(page, "held-entry")


def _through(page: Page, address: str, link: str) -> None:
    page.goto(address)
    page.goto(urljoin(address, page.locator(link).first.get_attribute("href") or ""))
