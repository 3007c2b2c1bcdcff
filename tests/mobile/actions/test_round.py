"""A round in progress: it survives a kill, and a stop is saved whole or not at all."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest

from mobile.actions.finish_round import finish_round
from mobile.actions.round import round_in_progress
from mobile.actions.save_stop import save_stop, skip_stop, undo_stop, walked_so_far
from mobile.actions.start_round import start_round
from mobile.actions.strike import undo
from mobile.ports import Phone
from mobile.storage import PhoneBook
from mobile.trouble import NoRound, Unbelievable
from shared.words.bodies import Body
from shared.words.bodies.walked import Cover, Firmness
from tests.mobile.kit import cover, rejoined, walked

FIELD = UUID(int=31)
STOPS = [(39.7 + n / 1000, -75.1) for n in range(10)]


def rye(height_in: int) -> Cover:
    return Cover(cover="rye", height_in=Decimal(height_in), heads="none")


def push(psi: int) -> Firmness:
    return Firmness(cone="half_inch", moisture="ready", where="body", peak_psi=Decimal(psi))


def begun(phone: Phone, at: int, *measures: str) -> UUID:
    cover(phone, at)
    return start_round(phone, at, FIELD, measures or ("cover",), STOPS, {"cover": "rye"}).id


def test_a_round_is_kept_from_its_first_tap(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    id = begun(phone, at)
    found = round_in_progress(phone, at)
    assert (found.id, found.field, found.stops, found.asked) == (id, FIELD, tuple(STOPS), {"cover": "rye"})
    assert (found.next_stop, found.done) == (1, ())


def test_each_stop_is_an_entry_of_the_round_and_the_next_one_follows(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    id = begun(phone, at)
    for stop in range(1, 11):
        after, saved = save_stop(phone, at, stop, [rye(20 + stop)])
        assert (saved[0].entry.round, saved[0].entry.stop, saved[0].entry.field) == (id, stop, FIELD)
    assert after.next_stop is None
    assert [fact.body.height_in for fact in walked_so_far(phone, at, after)] == list(range(21, 31))
    assert finish_round(phone, at).done == tuple(range(1, 11))
    assert round_in_progress(phone, at) is None


def test_i1_a_round_goes_on_after_a_kill_where_it_was(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    id = begun(phone, at)
    save_stop(phone, at, 1, [rye(21)], {"heads": "none"})
    save_stop(phone, at, 2, [rye(22)])
    again = replace(phone, book=PhoneBook(tmp_path / "phone.sqlite"))
    found = round_in_progress(again, at)
    assert (found.id, found.done, found.next_stop) == (id, (1, 2), 3)
    assert found.asked == {"cover": "rye", "heads": "none"}
    assert len(walked_so_far(again, at, found)) == 2


def test_several_measures_of_a_stop_are_saved_together_or_not_at_all(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    begun(phone, at, "cover", "firmness")
    before = len(phone.book.written(at))
    wrong: list[Body] = [rye(30), push(5_000)]
    with pytest.raises(Unbelievable):
        save_stop(phone, at, 1, wrong)
    assert len(phone.book.written(at)) == before
    assert round_in_progress(phone, at).done == ()
    after, saved = save_stop(phone, at, 1, [rye(30), push(250)])
    assert [one.entry.kind for one in saved] == ["cover", "firmness"]
    assert after.done == (1,)


def test_a_stop_undone_stands_open_again_and_counts_no_more(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    begun(phone, at)
    _, (saved,) = save_stop(phone, at, 1, [rye(30)])
    undo(phone, saved)
    after = undo_stop(phone, at, 1)
    assert after.next_stop == 1
    assert walked_so_far(phone, at, after) == ()


def test_a_stop_can_be_passed_by(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    begun(phone, at)
    assert skip_stop(phone, at, 1).next_stop == 2
    assert skip_stop(phone, at, 1).skipped == (1,)


def test_without_a_round_there_is_none_to_go_on_with(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    for act in (lambda: save_stop(phone, at, 1, [rye(3)]), lambda: finish_round(phone, at)):
        with pytest.raises(NoRound):
            act()
    assert phone.book.written(at) == ()


def test_w4c_a_round_in_one_farm_is_none_in_another(tmp_path: Path) -> None:
    phone, server, _, at = walked(tmp_path)
    also = rejoined(phone, server, server.found("Low Barrow"), "9999999999")
    begun(phone, at)
    assert round_in_progress(phone, also) is None
