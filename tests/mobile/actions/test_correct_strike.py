"""Corrections, strikes, undoing at once, answers."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest

from mobile.actions.answer_query import answer_query, open_queries
from mobile.actions.correct import correct, own_entry
from mobile.actions.hand_in import hand_in
from mobile.actions.own import own_written
from mobile.actions.strike import can_undo, strike, undo
from mobile.trouble import NoSuchEntry, Unbelievable, UndoTooLate
from shared.status.standing import standing
from shared.words.bodies.reading import UNDONE_AT_ONCE
from shared.words.bodies.walked import Cover
from tests.mobile.kit import cover, walked


def test_a_correction_names_its_entry_keeps_its_place_and_is_what_stands(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    first = cover(phone, at, "13").entry
    body = Cover(cover="rye", height_in=Decimal(31), heads="none")
    second = correct(phone, at, first, body, "read upside down").entry
    assert (second.kind, second.names, second.body.of) == ("correction", first.id, "cover")
    (fact,) = standing(own_written(phone, at)).in_force
    assert (fact.id, fact.body, fact.corrected_why) == (first.id, body, "read upside down")
    assert own_entry(phone, at, first.id).body.height_in == 13


def test_a_correction_past_belief_is_refused_too(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    first = cover(phone, at).entry
    with pytest.raises(Unbelievable):
        correct(phone, at, first, Cover(cover="rye", height_in=Decimal(620), heads="none"), "oh")
    assert len(phone.book.written(at)) == 1


def test_a_strike_rules_an_entry_out_and_leaves_it_readable(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    first = cover(phone, at).entry
    strike(phone, at, first, "wrong field")
    (fact,) = standing(own_written(phone, at)).facts
    assert (fact.struck, fact.struck_why) == (True, "wrong field")
    assert own_entry(phone, at, first.id) == first


@pytest.mark.parametrize(("after_ms", "undone"), [(10_000, True), (10_001, False)])
def test_what_was_just_saved_can_be_undone_for_ten_seconds(
    tmp_path: Path, after_ms: int, undone: bool
) -> None:
    phone, _, _, at = walked(tmp_path)
    saved = cover(phone, at)
    phone.clock.pass_ms(after_ms)
    assert can_undo(phone, saved) is undone
    if undone:
        assert undo(phone, saved).entry.body.why == UNDONE_AT_ONCE
    else:
        with pytest.raises(UndoTooLate):
            undo(phone, saved)
    assert len(phone.book.written(at)) == 1 + undone


def test_undoing_goes_by_the_steady_clock_and_not_past_a_restart_of_the_phone(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    saved = cover(phone, at)
    phone.clock.reboot(UUID(int=8))
    assert not can_undo(phone, saved)


def test_undoing_a_correction_brings_back_what_it_corrected(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    first = cover(phone, at, "13").entry
    saved = correct(phone, at, first, Cover(cover="rye", height_in=Decimal(31), heads="none"), "oh")
    undo(phone, saved)
    (fact,) = standing(own_written(phone, at)).in_force
    assert fact.body.height_in == 13


def test_an_entry_that_is_not_here_is_said_so(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    with pytest.raises(NoSuchEntry):
        own_entry(phone, at, UUID(int=9))


def test_a_query_comes_down_to_the_person_asked_and_goes_once_answered(tmp_path: Path) -> None:
    phone, _, farm, at = walked(tmp_path)
    me, other = (one.id for one in farm.people)
    about = cover(phone, at).entry.id
    for n, to in ((1, me), (2, other)):
        query = {"id": str(UUID(int=n)), "about": str(about), "to": str(to), "ask": "which_field"}
        farm.put(
            "queries", query | {"text": None, "asked_at": "2026-05-12T19:00:00-04:00", "answered": False}
        )
    hand_in(phone, at)
    (asked,) = open_queries(phone, at, me)
    saved = answer_query(phone, at, asked, text="the lower one")
    assert (saved.entry.kind, saved.entry.names) == ("answer", UUID(int=1))
    assert open_queries(phone, at, me) == ()
