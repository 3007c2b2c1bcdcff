"""The pages in headless Chromium: by keyboard, at 360 px, in both languages, with nothing that axe finds wrong."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from server.land import reads as land
from server.people import writes
from server.people.models import Person
from server.reading import sealing
from shared.languages import say
from shared.words.bodies.walked import Cover
from tests.server.web.chromium import NARROW, WIDE, chromium, runs_over, smallest_text
from tests.server.web.farmyard import Farmyard

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
    pytest.mark.xdist_group("chromium"),
]
AXE = Axe()
OFFICE = ("second_step", "programs", "farm_file")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with pytest.MonkeyPatch.context() as patch:
        # Playwright's loop runs in this thread; the tests' own database calls are not made from within it.
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        with chromium() as started:
            yield started


@pytest.fixture
def full(yard: Farmyard) -> Farmyard:
    """A farm with something on every page."""
    upper, long_acre = yard.ground.fields
    yard.sheets("new_jersey")
    yard.leg(upper, "leaf", date(2026, 4, 1))
    yard.leg(long_acre, "smother", date(2026, 4, 1), "sorghum-sudan")
    yard.loads(3, upper)
    yard.load(None)
    yard.cover_round(long_acre, ["44", "46", "48", "45", "47", "44", "45"], "few")
    yard.depth_round(upper, ["4", "5", "6.4"])
    yard.write(Cover("rye", Decimal("620"), "none"), field=long_acre)
    yard.notes(3)
    return yard


def open_pages(browser: Browser, live_server, yard: Farmyard, person: Person, look=WIDE) -> Page:
    page = browser.new_page(viewport=look, base_url=live_server.url)
    token = writes.sign_in_token(person.account, yard.at)
    page.goto(f"/sign-in/{token}/")
    page.keyboard.press("Tab")  # the way to the page
    page.keyboard.press("Tab")  # the button
    page.keyboard.press("Enter")
    page.wait_for_url("**/farm/**")
    return page


def addresses(yard: Farmyard) -> list[str]:
    upper, long_acre = yard.ground.fields
    load = yard.load(upper)
    walked = yard.cover_round(long_acre, ["44", "46"])
    names = ("lie_of_the_land", "evening_reading", "held", "gate_sheets", "registers", "reckoner")
    names += ("the_farm", "people", "phones", "towns", "sheets", "settings", "password")
    names += ("ground", "new_piece", "bring_in", "piles")
    pages = [yard.page(name) for name in names]
    pages += [yard.page("piece", upper), yard.page("town", yard.town), yard.page("town_letter", yard.town)]
    pages += [yard.page("lie_of_the_land") + "?as=map", yard.page("new_piece") + "?what=buffer"]
    pages += [
        yard.page("gate_sheets") + "?season=2025",
        yard.page("field", upper),
        yard.page("field", long_acre),
    ]
    pages += [
        yard.page("entry", load.entry),
        yard.page("round", walked),
        yard.page("evening_reading") + "?day=x",
    ]
    pages += [yard.page("computation", "leaf_room") + "?area_ac=-1", yard.page("person", yard.ground.crew.id)]
    pages += [
        yard.page(name) for name in ("write", "samples", "results_csv", "papers", "weather", "jobs", *OFFICE)
    ]
    pages += [yard.page("write_kind", kind) for kind in ("load", "weeds", "document")]
    names = ("ahead", "ahead_plan", "forecasts", "fertilizer", "reports", "report_worth", "report_book")
    pages += [*(yard.page(name) for name in names), yard.page("report_year", yard.at.year)]
    names = ("leaf_intake", "turned_back", "worked_in", "leaves_laid", "occurrences")
    return [*pages, yard.page("reader_links"), *(yard.page("register", name) for name in names)]


@pytest.mark.parametrize(("language", "look"), [("en", WIDE), ("es", NARROW)])
def test_no_page_has_anything_that_axe_finds_wrong(browser, live_server, full: Farmyard, language, look):
    writes.change_person(full.ground.owner, language=language)
    page = open_pages(browser, live_server, full, full.ground.owner, look)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    for address in addresses(full):
        page.goto(address)
        found = AXE.run(page)
        assert found.violations_count == 0, f"{address}: {found.generate_report()}"
        assert runs_over(page) <= 0, address
        assert smallest_text(page) >= 16, address
    assert {urlsplit(one).netloc for one in asked} == {urlsplit(live_server.url).netloc}


def test_the_sign_in_has_nothing_that_axe_finds_wrong(browser, live_server, yard: Farmyard):
    page = browser.new_page(viewport=NARROW, base_url=live_server.url)
    page.goto("/sign-in/")
    assert AXE.run(page).violations_count == 0
    page.goto("/farm/nowhere/")
    assert AXE.run(page).violations_count == 0


def test_a_day_is_read_by_keyboard_alone(browser, live_server, full: Farmyard):
    page = open_pages(browser, live_server, full, full.ground.owner)
    page.goto(full.page("evening_reading"))
    together = page.get_by_role("button", name="together")
    before = int("".join(char for char in together.inner_text() if char.isdigit()))
    together.focus()
    page.keyboard.press("Enter")
    page.get_by_text(say("en", "reading.initialled_together", count=before)).wait_for()
    odd = page.locator("tr", has_text="620").locator("a.what")
    odd.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/entry/**")
    page.get_by_role("button", name=say("en", "reading.initial"), exact=True).press("Enter")
    page.wait_for_url("**/evening/**")
    assert f"1 read, {before} initialled together" in page.inner_text("main")
    page.get_by_role("button", name="Seal the book").press("Enter")
    page.get_by_text("Sealed by").wait_for()
    assert sealing.seal_of(full.farm, full.at.date()).body.root in page.inner_text("#seal")


def test_the_button_initials_only_what_was_on_the_page(browser, live_server, full: Farmyard):
    page = open_pages(browser, live_server, full, full.ground.owner)
    page.goto(full.page("evening_reading"))
    full.notes(2)
    page.get_by_role("button", name="together").click()
    page.get_by_role("button", name="Initial these 2 together").wait_for()


def test_a_long_word_does_not_push_a_page_over_a_phones_edge(browser, live_server, full: Farmyard):
    full.write(Cover("other", Decimal("30"), "none", other_text="w" * 90), field=full.ground.fields[0])
    page = open_pages(browser, live_server, full, full.ground.owner, NARROW)
    for address in (full.page("evening_reading"), full.page("field", full.ground.fields[0])):
        page.goto(address)
        assert runs_over(page) <= 0, address


def test_the_skip_link_leads_past_the_head(browser, live_server, full: Farmyard):
    page = open_pages(browser, live_server, full, full.ground.owner)
    page.goto(full.page("registers"))
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")


def test_a_field_is_drawn_on_the_map_and_its_corners_are_the_form(browser, live_server, full: Farmyard):
    page = open_pages(browser, live_server, full, full.ground.owner)
    page.goto(full.page("new_piece"))
    page.locator(".leaflet-pm-toolbar .leaflet-pm-icon-polygon").click()
    box = page.locator("#map").bounding_box()
    corners = [(0.3, 0.3), (0.6, 0.3), (0.6, 0.7), (0.3, 0.7), (0.3, 0.3)]
    for x, y in corners:
        page.mouse.click(box["x"] + box["width"] * x, box["y"] + box["height"] * y)
    typed = page.input_value("#outline").splitlines()
    assert len(typed) == 4
    page.fill("#name", "Drawn Side")
    page.fill("#why", "drawn at the desk")
    page.get_by_role("button", name=say("en", "pages.save"), exact=True).click()
    page.get_by_text(say("en", "land.draw.saved", name="Drawn Side")).wait_for()
    (made,) = [one for one in land.fields(full.farm) if one.name == "Drawn Side"]
    assert [f"{lat:.7f}, {lon:.7f}" for lat, lon in made.outline[0].outer] == typed
