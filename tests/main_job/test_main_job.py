"""The whole chain on real input: a round and a load with no network, a kill, the server, the page, the register.

Taps are X pointer events in the app's own window; positions come as NMEA 0183 through a pipe; the server is a
process of its own; the page is read in headless Chromium.
"""

from __future__ import annotations

import csv
import io
import re
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic
from playwright.sync_api import Page, sync_playwright
from pyproj import Geod
from the_farm import LOWER, UPPER, Corners, FarmServer
from the_sky import Sky
from the_window import PhoneWindow

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
]
IN_UPPER = (39.7005, -75.0995)
IN_LOWER = (39.69875, -75.0995)
HEADED = (3, 7)
HEIGHTS = [62, 58, 71, 66, 60, 64, 69, 57, 63, 67]

pytestmark = [pytest.mark.window, pytest.mark.browser, pytest.mark.xdist_group("main_job")]


def area_ac(corners: Corners) -> float:
    """International acres by GeographicLib; pyproj, which computes for itself, must agree."""
    polygon = Geodesic.WGS84.Polygon()
    for lat, lon in corners:
        polygon.AddPoint(float(lat), float(lon))
    area_m2 = abs(polygon.Compute()[2])
    other, _ = Geod(ellps="WGS84").polygon_area_perimeter(
        [float(lon) for _, lon in corners], [float(lat) for lat, _ in corners]
    )
    assert abs(other) == pytest.approx(area_m2, rel=1e-9)
    return area_m2 / 4046.8564224


def walk_a_cover_round(phone: PhoneWindow, sky: Sky) -> None:
    sky.at(*IN_LOWER)
    phone.shows("Spring Piece / smother · sure")
    phone.tap("here.cover")
    phone.tap("round.cover.sorghum_sudan")
    phone.tap("round.save")
    for stop, height in enumerate(HEIGHTS, 1):
        phone.thing("round.save", f"Save stop {stop}")
        for figure in str(height):
            phone.tap(f"pad.{figure}")
        phone.tap("round.heads.few" if stop in HEADED else "round.heads.none")
        phone.tap("round.save")
        heads = stop in HEADED
        phone.shows(f"{height} in, heads showing. Mow now" if heads else f"{height} in. Mow at 30 for weeds")
    phone.shows("heads at 2 of 10 stops")
    phone.tap("round.save")
    phone.screen("here")


def take_a_load(phone: PhoneWindow, sky: Sky, ids: dict[str, str]) -> int:
    """A repeat load: the truck, the fill, what was seen. The taps it took are the pointer events counted."""
    before = phone.pointer_events
    phone.tap(f"gate.truck.{ids['truck']}")
    phone.tap("gate.fill.80")
    phone.tap("gate.seen.clean")
    phone.shows("Fallowdale 6 taken")
    return phone.pointer_events - before


def choose_receiving_field(phone: PhoneWindow, ids: dict[str, str]) -> None:
    """By the page of all pages, where the gate is at every time of the year."""
    phone.tap("here.more")
    phone.tap("more.gate")
    phone.screen("gate")
    phone.tap("gate.ground")
    phone.tap(f"gate_field.{ids['Upper Rest']}")
    phone.screen("gate")


def test_a_round_and_a_load_made_offline_survive_a_kill_and_stand_in_book_page_and_register(
    server: FarmServer, phone: PhoneWindow, sky: Sky, today: str
):
    ids = server.lay(today)
    server.start()
    phone.start("--server", server.address, "--nmea", str(sky.pipe))
    phone.type("first_run.code", server.code())
    phone.tap("first_run.save")
    phone.tap(f"who.{ids['crew']}")
    sky.at(*IN_LOWER)
    phone.shows("Spring Piece")
    server.stop()

    walk_a_cover_round(phone, sky)
    choose_receiving_field(phone, ids)
    assert take_a_load(phone, sky, ids) == 3
    phone.tap("gate.back")
    phone.shows("11 waiting")

    phone.kill()
    phone.start()
    phone.shows("11 waiting")
    phone.tap("here.wrote")
    phone.screen("wrote")
    phone.shows("Fallowdale")
    phone.tap("wrote.back")

    server.start()
    phone.shows("All handed in")

    book = book_of(server)
    mine = [one for one in book if one["phone"] == "phone"]
    assert [one["kind"] for one in mine] == ["cover"] * 10 + ["load"]
    assert [one["height"] for one in mine[:10]] == [str(height) for height in HEIGHTS]
    assert {one["outcome"] for one in mine} == {"kept"}
    assert len({one["entry"] for one in mine}) == 11
    look_at_the_pages(server, ids, today)


BOOK = """
import json, sys
import django; django.setup()
from server.book import reads
from server.book.models import Row
sys.stdin.read()
out = []
for row in Row.objects.order_by("number").select_related("phone"):
    entry = reads.entry_of(row)
    height = getattr(entry.body, "height_in", None) if entry else None
    out.append({"number": row.number, "phone": "desk" if row.phone.desk else "phone", "line": row.line,
                "kind": row.kind, "outcome": row.outcome, "entry": str(row.entry),
                "height": None if height is None else str(height)})
print(json.dumps(out))
"""


def book_of(server: FarmServer) -> list[dict[str, Any]]:
    return server.python(BOOK, None)


def figures(text: str) -> list[float]:
    return [float(one.replace(",", "")) for one in re.findall(r"\d[\d,]*\.?\d*", text)]


def look_at_the_pages(server: FarmServer, ids: dict[str, str], today: str) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page()
        page.goto(server.link)
        page.click("main button")
        page.wait_for_selector("table.land")
        home = page.url
        acres = area_ac(UPPER)
        row = page.locator("tr", has_text="Upper Rest").inner_text()
        assert f"{acres:.1f}" in row
        look_at_the_field_of_the_round(page, home, ids)
        look_at_the_room(page, home, ids, acres)
        look_at_the_register(page, home, today)
        browser.close()


def look_at_the_field_of_the_round(page: Page, home: str, ids: dict[str, str]) -> None:
    page.goto(f"{home}field/{ids['Spring Piece']}/")
    text = page.locator("main").inner_text()
    mean = sum(HEIGHTS) / len(HEIGHTS)
    assert "10 stops" in text
    assert f"{mean:.0f}" in text
    over_years, this_season = page.locator("figure.plot:has(line.point)").all()
    for plot in (over_years, this_season):
        assert plot.locator("line.point").count() == 1
        assert f"{mean:.1f}" in plot.locator("details").text_content()
    assert f"{area_ac(LOWER):.1f}" in text


def look_at_the_room(page: Page, home: str, ids: dict[str, str], acres: float) -> None:
    """Six inches on an acre are 806.67 cubic yards (43,560 x 6 / 324); the Rutgers fact sheet *Plant nutrients in
    municipal leaves* prints about 800. A bed of 25 yards, 80 per cent full, brought 20."""
    page.goto(f"{home}field/{ids['Upper Rest']}/")
    whole = acres * 43_560 * 6 / 324
    assert whole / acres == pytest.approx(806.67, abs=0.01)
    assert whole / acres == pytest.approx(800, rel=0.01)
    text = page.locator("main").inner_text()
    shown = figures(text)
    assert any(one == pytest.approx(whole - 20, abs=1) for one in shown), text
    depth_in = 20 * 324 / (acres * 43_560)
    assert f"{depth_in:.1f} in deep" in text
    assert f"{whole:,.0f} yd³" in text


def look_at_the_register(page: Page, home: str, today: str) -> None:
    page.goto(f"{home}registers/leaf_intake/?year={today[:4]}")
    line = page.locator("table.register tbody tr")
    assert line.count() == 1
    assert "Fallowdale" in line.inner_text()
    assert "Upper Rest" in line.inner_text()
    answer = page.request.get(f"{home}registers/leaf_intake.csv?year={today[:4]}")
    (row,) = csv.DictReader(io.StringIO(answer.text().removeprefix("\ufeff")))
    assert (row["Town"], row["To"], row["Outcome"]) == ("Fallowdale", "Upper Rest", "taken")
    assert float(row["To this place, yd³"]) == 20
