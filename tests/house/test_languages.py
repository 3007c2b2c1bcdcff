"""Both languages say the same things."""

from __future__ import annotations

import re
import string

import pytest

from shared.languages import LANGUAGES, sentences

SAME_IN_BOTH = {
    *("Goodground", "English", "Español"),
    *("Plan", "plan", ", plan", "Material", "material", "Metal", "metal", "alfalfa", "Acres", "newtons"),
}
"""Sentences that read alike in both languages, each looked at."""


EMPTY_ON_PURPOSE = {"phone.unit.count"}
"""A count is a figure without a unit."""


def places(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_sentence_is_missing(language):
    everything = set().union(*(sentences(one).keys() for one in LANGUAGES))
    assert everything - sentences(language).keys() == set()


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
