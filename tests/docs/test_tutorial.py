"""The tutorial says what stands on the glass and on the page, word for word."""

from __future__ import annotations

import re

from demo_fixtures import farm, people
from demo_fixtures.stands import DUE_TO_MOW
from demo_fixtures.towns import TRUCKS
from shared.languages import sentences
from tests.docs.reading import ROOT, Written

PAGE = Written(ROOT / "docs/tutorial/your-first-round.md")
BOLD = re.compile(r"\*\*([^*]+)\*\*")


def shown(text: str) -> bool:
    """Whether a sentence of the project reads so, with anything in its places and before its dots."""
    for sentence in sentences("en").values():
        for part in sentence.split("\n"):
            pattern = re.sub(r"\\\{\w+\\\}", ".+", re.escape(part))
            if re.fullmatch(pattern, text):
                return True
    return False


def test_every_key_that_the_reader_is_told_to_press_is_one_that_is_there() -> None:
    names = {one.name for one in farm.PLOTS} | {one.label for one in TRUCKS}
    told = {one for one in BOLD.findall(PAGE.text) if not one.isdigit()}
    assert {"Cover height", "Start", "Turn back", "Hand in now", "Evening reading"} <= told
    assert {one for one in told if one not in names and not shown(one)} == set()


def test_every_sentence_that_the_reader_is_shown_is_one_that_the_phone_says() -> None:
    quoted = [one.strip() for one in re.findall(r"^ *> ([^*\n]+)$", PAGE.text, re.M)]
    assert len(quoted) >= 4
    assert [one for one in quoted if not shown(one)] == []


def test_people_and_field_are_the_demos() -> None:
    assert f"**{people.TOBIN.digits}**" in PAGE.text
    assert people.TOBIN.name in PAGE.text
    assert people.ANA.digits in PAGE.text
    assert farm.BY_KEY[DUE_TO_MOW].name in PAGE.text
    assert people.OWNER.name in PAGE.text
    assert farm.NAME in PAGE.text
