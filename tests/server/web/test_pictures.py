"""Every page has its picture, and is held to axe where pictures are taken."""

from __future__ import annotations

from django.urls import Resolver404, URLPattern, resolve

from server.web.urls import urlpatterns
from tests.server.ground import fresh_id
from tests.server.web.pages_shoot import FIXED, LINKS

FARM = f"/farm/{fresh_id()}/"
BY_LINK = {
    "field": "field",
    "entry": "entry",
    "round": "round",
    "town": "town",
    "letter": "town_letter",
    "drawn-field": "piece",
    "sketch": "ahead_sketch",
    "person": "person",
    "correct": "correct",
}
FORMS = {
    *(
        "set_leg",
        "initial_the_rest",
        "initial_opened",
        "seal_day",
        "mark",
        "strike",
        "answer",
        "cured",
        "tiles",
    ),
    *("cut_field", "join_fields", "sign_in_link", "retire", "joining_slip", "stop_phone", "stop_link"),
    *("stop_program", "sign_out", "ask_printing", "shown_ask_printing"),
}
"""What is sent to, not looked at: it answers with another page."""
FILES = {
    *(
        "entry_photo",
        "town_letter_pdf",
        "report_worth_pdf",
        "report_book_pdf",
        "report_year_pdf",
        "shown_file",
    ),
    *("register_csv", "register_xlsx", "register_pdf", "register_bundle"),
    *("printing_file", "shown_printing_file"),
}
ELSEWHERE = {
    *("first", "sign_in", "sign_in_by_link", "shown_registers", "shown_register"),
    *("printing", "shown_printing"),
}
"""Outside the farm, where an inspector's pages are the registers' own; and what stands while a file is made."""


def names() -> set[str]:
    return {one.name or "" for one in urlpatterns if isinstance(one, URLPattern)}


def shot() -> set[str]:
    found = {BY_LINK[name] for name in LINKS}
    for path in FIXED.values():
        try:
            found.add(resolve(FARM + path.partition("?")[0]).url_name or "")
        except Resolver404:
            assert path == "nowhere/"
    return found


def test_every_page_has_its_picture():
    assert names() - shot() - FORMS - FILES - ELSEWHERE == set()


def test_nothing_is_left_out_that_is_no_page_any_more():
    assert (FORMS | FILES | ELSEWHERE) - names() == set()
