"""Both languages say the same things."""

from __future__ import annotations

import re
import string
from datetime import date
from decimal import Decimal

import pytest

from shared.languages import DECIMAL_MARK, LANGUAGES, MONTHS, day, figure, has, say, sentences, shown

SAME_IN_BOTH = {
    *("Goodground", "English", "Español"),
    *("Plan", "plan", ", plan", "Material", "material", "Metal", "metal", "alfalfa", "Acres", "newtons"),
}
"""Sentences that read alike in both languages, each looked at."""


EMPTY_ON_PURPOSE = {"phone.unit.count"}
"""A count is a figure without a unit."""
COUNTED = {"count", "value"}
"""The places that tell how many, of which a sentence for several has one."""


def places(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_sentence_is_missing(language):
    everything = set().union(*(sentences(one).keys() for one in LANGUAGES))
    assert everything - sentences(language).keys() == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_is_found_by_the_first_word_of_its_key(language):
    """Files are read when a key of theirs is first asked for; which those are is seen from their headings."""
    assert [key for key in sentences(language) if not has(language, key)] == []
    plain = [key for key, text in sentences(language).items() if not places(text)]
    assert all(say(language, key) == sentences(language)[key] for key in plain)


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_sentence_is_empty(language):
    empty = {key for key, text in sentences(language).items() if not text.strip()}
    assert empty <= EMPTY_ON_PURPOSE


def test_a_sentence_has_the_same_facts_in_both_languages():
    en, es = sentences("en"), sentences("es")
    differing = {
        key: (places(en[key]), places(es[key]))
        for key in en
        if key in es and places(en[key]) != places(es[key])
    }
    assert differing == {}


def test_no_sentence_was_left_in_the_other_language():
    """A text with a word of four letters or more beside its facts is not the same in both, but for a listed few."""
    en, es = sentences("en"), sentences("es")
    same = {text for key, text in en.items() if es.get(key) == text}
    worded = {text for text in same if re.search(r"[^\W\d_]{4,}", re.sub(r"\{[^}]*\}", "", text))}
    assert worded - SAME_IN_BOTH == set()


def test_a_leg_is_never_called_by_the_spanish_word_for_law():
    """*Ley* names a hay leg in English farming; in Spanish it is the law."""
    words = {key: text.lower().split() for key, text in sentences("en").items()}
    words |= {f"es:{key}": text.lower().split() for key, text in sentences("es").items() if "leg" in key}
    assert [key for key, those in words.items() if "ley" in those] == []


@pytest.mark.parametrize(
    ("language", "told"),
    [
        ("en", ("2 July", "2 July 2026", "1 January")),
        ("es", ("2 de julio", "2 de julio de 2026", "1 de enero")),
    ],
)
def test_a_date_is_written_as_the_language_writes_it(language, told):
    on = date(2026, 7, 2)
    assert (day(language, on), day(language, on, year=True), shown(language, date(2026, 1, 1))) == told


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_number_has_the_marks_of_the_language_and_no_empty_places(language):
    mark = DECIMAL_MARK[language]
    thousands = "," if mark == "." else "."
    assert shown(language, 12345) == f"12{thousands}345"
    assert figure(language, Decimal("1234.50")) == f"1{thousands}234{mark}5"
    assert [figure(language, one) for one in (Decimal("6.0"), 0.004, Decimal("-0.001"))] == ["6", "0", "0"]


def test_no_sentence_has_a_month_of_the_other_language():
    for language, other in (("en", "es"), ("es", "en")):
        names = "|".join(
            one for one in MONTHS[other] if one not in MONTHS[language] and one not in ("May", "March")
        )
        said = re.compile(rf"\b({names})\b", re.IGNORECASE)
        assert {key: text for key, text in sentences(language).items() if said.search(text)} == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_one_and_several_are_sentences_of_their_own(language):
    """A pair is whole, and the one for several tells how many, of the count or of what stands for it."""
    said = sentences(language)
    ones = {key.removesuffix(".one") for key in said if key.endswith(".one")}
    others = {
        key.removesuffix(".other")
        for key in said
        if key.endswith(".other") and key.removesuffix(".other") in ones
    }
    assert ones - others == set()
    assert [key for key in ones if not places(said[f"{key}.other"]) & COUNTED] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_count_chooses_its_sentence(language):
    assert say(language, "phone.hand_in.entries", count=1) != say(language, "phone.hand_in.entries", count=2)
