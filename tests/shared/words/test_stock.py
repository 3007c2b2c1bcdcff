"""Reasons kept as words are said again in the reader's language."""

from __future__ import annotations

from decimal import Decimal
from uuid import UUID

from shared.languages.crops import crop_word
from shared.languages.stock import said_again
from shared.status.telling import telling
from shared.words.bodies.laboratory import Result
from shared.words.bodies.work import Work


def test_a_reason_tapped_in_one_language_is_read_in_the_other() -> None:
    assert said_again("es", "Not leaves") == "No son hojas"
    assert said_again("en", "No son hojas") == "Not leaves"
    assert said_again("es", "misread") == "mal leído"


def test_a_persons_own_words_stay_as_they_are() -> None:
    assert said_again("es", "half of it was gravel") == "half of it was gravel"


def test_a_crop_of_the_list_is_read_in_the_readers_language_however_it_was_typed() -> None:
    assert crop_word("es", "sweet_corn") == crop_word("es", "Sweet corn") == "elote dulce"
    assert crop_word("es", "spelt_mix") == "spelt mix"


def test_an_entry_that_another_one_names_is_no_person() -> None:
    body = Result(UUID(int=0xABCDEF), "A lab", "Mehlich 3", (("pH", Decimal("6.4"), ""),))
    told = telling("en", body, lambda id: None)
    assert ("Sample", "the entry …abcdef") in told.lines
    assert "garlic" not in telling("es", Work(job="plant", crop="garlic"), lambda id: None).sum
