"""Reasons kept as words are said again in the reader's language."""

from __future__ import annotations

from shared.languages.stock import said_again


def test_a_reason_tapped_in_one_language_is_read_in_the_other() -> None:
    assert said_again("es", "Not leaves") == "No son hojas"
    assert said_again("en", "No son hojas") == "Not leaves"
    assert said_again("es", "misread") == "mal leído"


def test_a_persons_own_words_stay_as_they_are() -> None:
    assert said_again("es", "half of it was gravel") == "half of it was gravel"
