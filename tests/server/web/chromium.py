"""Headless Chromium as the tests and the picture-taker start it: no network but the server's own."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, Page, sync_playwright

FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
CHROMIUM = "/usr/bin/chromium"
WIDE = {"width": 1280, "height": 800}
NARROW = {"width": 360, "height": 740}


@contextmanager
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        try:
            yield browser
        finally:
            browser.close()


def runs_over(page: Page) -> int:
    """By how many pixels the page is wider than its window."""
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


def smallest_text(page: Page) -> float:
    """The size in pixels of the smallest text that can be seen."""
    return page.evaluate(
        """() => Math.min(...[...document.querySelectorAll('body *')]
          .filter(one => [...one.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
          .filter(one => one.getClientRects().length)
          .map(one => parseFloat(getComputedStyle(one).fontSize)))"""
    )
