"""Every sentence of the phone has room where it stands: no word of any is wider than the narrowest phone at twice the
text size, and no key's word wider than a key. The screens wrap between words and never within one or with dots."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from kivy.core.window import Window
from kivy.metrics import dp

from mobile.theme import TEXT_SP
from mobile.widgets.look import look
from mobile.widgets.measure import fitting, widest_word
from shared.languages import LANGUAGES, sentences

NARROWEST = 360
OF_THE_PHONE = (
    "phone.",
    "entries.",
    "meaning.",
    "trouble.",
    "hand_in",
    "dues.title.",
    "place.",
    "no_position.",
    "slip.",
)
TITLES = re.compile(r"(^|\.)title($|\.)|^phone\.(here\.line|job|note|more|measure)\.")
FOOT = (
    "back",
    "undo",
    "save",
    "rub_out",
    "further",
    "back_up",
    "figures",
    "entry.strike",
    "here.note",
    "here.wrote",
)
"""Words of keys that stand three in a row."""


def words_of(language: str) -> dict[str, str]:
    """Each sentence of the phone without the places for facts, which are measured where they are known."""
    return {
        key: re.sub(r"\{[^}]*\}", " ", text)
        for key, text in sentences(language).items()
        if key.startswith(OF_THE_PHONE)
    }


@pytest.fixture(autouse=True)
def largest_text():  # type: ignore[no-untyped-def]
    Window.size = (NARROWEST, 740)
    look.wear("sun", 2.0)
    yield
    look.wear("sun", 1.0)


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_word_is_wider_than_the_glass(language: str) -> None:
    room = dp(NARROWEST) - 2 * look.margin
    wide = {
        key: text
        for key, text in words_of(language).items()
        if widest_word(text, look.bold, fitting(text, look.bold, look.text, room, dp(TEXT_SP))) > room
    }
    assert wide == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_word_that_is_read_along_is_set_smaller_than_asked_for(language: str) -> None:
    """Only titles and keys may shrink to what is the least on paper; running text keeps the person's size."""
    room = dp(NARROWEST) - 2 * look.margin
    wide = {
        key: text
        for key, text in words_of(language).items()
        if not TITLES.search(key) and widest_word(text, look.sans, look.text) > room
    }
    assert wide == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_words_of_the_foot_stand_in_a_third_of_it_at_the_least_size(language: str) -> None:
    room = dp(NARROWEST) / 3 - 2 * look.margin * 0.4 - look.rule
    said = sentences(language)
    wide = {
        name: said[f"phone.{name}"]
        for name in FOOT
        if widest_word(said[f"phone.{name}"], look.sans, dp(TEXT_SP)) > room
    }
    assert wide == {}


def test_no_widget_cuts_a_text_off() -> None:
    """Where a text has no room a page is read on; nothing ends in dots."""
    mobile = Path(__file__).parents[3] / "mobile"
    folders = (mobile / "widgets", mobile / "screens")
    files = [one for folder in folders for kind in ("*.py", "*.kv") for one in folder.glob(kind)]
    assert files
    cutting = re.compile(r"\b(shorten|max_lines|ellipsis_options)\b")
    assert [str(one) for one in files if cutting.search(one.read_text("utf-8"))] == []
