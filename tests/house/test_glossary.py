"""The glossary has the words of the trade and the project, and the sentences keep to them in both languages."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path

import pytest

from shared.languages import sentences

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "glossary.md"
STEM = 5
"""Letters by which a Spanish word is known in its forms."""
NEEDED = {
    *(
        "field",
        "acre",
        "town",
        "hauler",
        "load",
        "ticket",
        "yards",
        "pile",
        "spread",
        "pass",
        "work in",
        "disk",
    ),
    *(
        "plow",
        "mow",
        "stubble",
        "seed heads",
        "cutting",
        "lead-in",
        "cash crop",
        "smother",
        "quadrat",
        "cone",
    ),
    *(
        "hard layer",
        "soil tests",
        "buffer",
        "organic matter",
        "entry",
        "correction",
        "strike",
        "line",
        "book",
    ),
    *("round", "stop", "leg", "room", "rule sheet", "due", "evening reading", "query", "held", "waiting"),
    *("register", "joining slip", "carry file", "reckoner", "seal", "crop year", "setback"),
}
OTHER_SENSES = {
    "town": {"farm_file.says", "farm_file.readme"},
    "load": {"refusals.stale_form.detail", "reckoner.load_checks.help"},
    "pile": {"phone.seen.share"},
    "truck": {"reckoner.input.bed_yd3"},
    "buffer": {
        *("reckoner.mehlich_acidity.title", "reckoner.mehlich_acidity.help", "reckoner.input.buffer_ph"),
        "reckoner.choice.clemson",
    },
    "round": {
        *("pages.wrong.outline.crosses_itself", "pages.wrong.outline.touches_itself"),
        *("reckoner.pile_volume.help", "reckoner.caution.hay"),
    },
    "phone": {"phone.entry.state.refused"},
    "carry file": {"phone.hand_in.carry"},
    "joining slip": {"refusals.too_many_tries.detail"},
    "soil tests": {"report.lack.one_soil_test"},
    "cash crop": {"ahead.gap_bound_say", "ahead.wish.share"},
    "entry": {"phone.slot.reentry_h"},
    "cutting": {"meaning.hay.cut_now_harms"},
    "spread": {"dues_change.lime.stated", "dues_change.lime.reckoned"},
}
"""Sentences that use the word in another sense, or leave it out where its place is too short; each looked at."""
LOOSE = {
    *("cover", "held", "due", "line", "frost", "crop", "room", "hay", "stop", "stand", "waiting", "spread"),
    *("mow", "cutting", "work in", "gate", "strike", "initialled", "register", "pass", "weeds"),
}
"""Words of everyday English too: the sentences can't be held to one Spanish word for them."""


@cache
def glossary() -> dict[str, tuple[str, str, str]]:
    """English, to its Spanish words, its meaning and its source."""
    rows = [
        [one.strip() for one in line.split("|")[1:-1]]
        for line in PAGE.read_text("utf-8").splitlines()
        if line.startswith("|")
    ]
    words = [row for row in rows if row[0] not in ("English", "---")]
    return {english: (spanish, meaning, source) for english, spanish, meaning, source in words}


def plain(text: str) -> str:
    """Small letters without accents, and without the names of places for facts."""
    text = re.sub(r"\{[^}]*\}", "", text).lower()
    return "".join(one for one in unicodedata.normalize("NFD", text) if not unicodedata.combining(one))


def says(text: str, spanish: str) -> bool:
    return any(all(word[:STEM] in plain(text) for word in plain(one).split()) for one in spanish.split(","))


def keys_with(english: str) -> set[str]:
    forms = rf"{english[:-1]}(y|ies)" if english.endswith("y") else rf"{english}(s|es)?"
    said = re.compile(rf"\b{forms}\b", re.IGNORECASE)
    return {key for key, text in sentences("en").items() if said.search(re.sub(r"\{[^}]*\}", "", text))}


def test_every_word_of_the_trade_and_the_project_is_in_it() -> None:
    assert NEEDED - glossary().keys() == set()


def test_each_word_has_its_spanish_its_meaning_and_its_source() -> None:
    assert [word for word, row in glossary().items() if not all(row)] == []
    for word, (_, _, source) in glossary().items():
        assert source in ("common practice, no source", "the project's own") or "sources.md" in source, word


@pytest.mark.parametrize("english", sorted(glossary().keys() - LOOSE))
def test_where_english_says_the_word_spanish_says_its_own(english: str) -> None:
    spanish = glossary()[english][0]
    es = sentences("es")
    other = {
        key: es[key]
        for key in keys_with(english) - OTHER_SENSES.get(english, set())
        if key in es and not says(es[key], spanish)
    }
    assert other == {}, f"{english} is {spanish}"
