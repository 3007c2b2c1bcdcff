"""What a save makes of what a person wrote, and what it refuses."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest

from mobile.actions.choose_person import choose_person, people, put_tag_away, whose_digits
from mobile.actions.save_entry import NewEntry, save_entries, save_entry
from mobile.trouble import NobodyChosen, TooLongToSave, Unbelievable
from shared.wire import lines
from shared.wire.pull import Page
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover, Firmness
from tests.mobile.kit import cover, walked

FIELD = UUID(int=31)


def a_field(version: int = 4) -> dict[str, object]:
    return {"id": str(FIELD), "name": "Long Acre", "version": version, "outline": None, "area_ac": None}


def test_an_entry_says_who_when_where_by_which_clock_and_under_which_sheets(tmp_path: Path) -> None:
    phone, _, farm, at = walked(tmp_path)
    sheets = [
        {"id": "nj-2024.1", "sheet": "nj", "in_force": True},
        {"id": "old-1", "sheet": "old", "in_force": False},
    ]
    phone.book.store_page(at, Page({"fields": [a_field()], "sheets": sheets}, {}, "c", True), 0)
    phone.receiver.stand("39.7012345", "-75.1009", "4.5")
    phone.clock.pass_ms(1_500)
    body = Cover(cover="rye", height_in=Decimal("31.5"), heads="few")
    saved = save_entry(phone, at, NewEntry(body=body, field=FIELD, done_at=date(2026, 5, 11)))
    entry = lines.decode(phone.book.own(at, saved.entry.id).raw)
    assert entry == saved.entry
    assert (entry.kind, entry.edition, entry.body) == ("cover", 1, body)
    assert entry.made_at.text == "2026-05-12T07:30:01.500-04:00"
    assert (entry.boot, entry.mono_ms) == (phone.clock.boot, 1_001_500)
    assert entry.by == farm.people[0].id
    assert (entry.field, entry.land, entry.done_at) == (FIELD, 4, date(2026, 5, 11))
    assert (entry.at.lat, entry.at.lon, entry.at.r68_m) == (
        Decimal("39.7012345"),
        Decimal("-75.1009"),
        Decimal("4.5"),
    )
    assert entry.sheets == ("nj-2024.1",)
    assert entry.id.version == 7


def test_without_a_position_an_entry_is_saved_and_says_none(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    phone.receiver.lose("searching")
    assert cover(phone, at).entry.at is None


def test_a_cover_of_620_in_is_refused_with_what_is_wrong_and_what_is_allowed(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    with pytest.raises(Unbelievable) as raised:
        cover(phone, at, "620")
    assert (raised.value.key, raised.value.value) == ("height_in", Decimal(620))
    assert (raised.value.low, raised.value.high, raised.value.unit) == (0, 180, "in")
    assert phone.book.written(at) == ()


@pytest.mark.parametrize(
    ("height", "believed"), [("0", True), ("180", True), ("180.1", False), ("-1", False)]
)
def test_the_bounds_of_a_span_are_believed_and_what_is_past_them_is_not(
    tmp_path: Path, height: str, believed: bool
) -> None:
    phone, _, _, at = walked(tmp_path)
    try:
        cover(phone, at, height)
    except Unbelievable:
        assert not believed
    assert len(phone.book.written(at)) == int(believed)


def test_one_figure_past_belief_in_a_stop_with_several_measures_stores_none_of_them(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    good = Cover(cover="rye", height_in=Decimal(31), heads="none")
    bad = Firmness(cone="half_inch", moisture="ready", where="body", peak_psi=Decimal(3000))
    with pytest.raises(Unbelievable):
        save_entries(phone, at, [NewEntry(body=good), NewEntry(body=bad)])
    assert phone.book.written(at) == ()


def test_w1_more_words_than_an_entry_holds_are_refused_before_saved_is_shown(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    with pytest.raises(TooLongToSave) as raised:
        save_entry(phone, at, NewEntry(body=Note(text="ñ" * 40_000)))
    assert raised.value.most == 65_536
    assert phone.book.written(at) == ()
    assert save_entry(phone, at, NewEntry(body=Note(text="n" * 60_000))).line == 1


def test_nobody_writes_until_somebody_says_who_they_are(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    put_tag_away(phone, at)
    with pytest.raises(NobodyChosen):
        cover(phone, at)
    (ines,) = whose_digits(phone, at, "1407")
    assert choose_person(phone, at, ines.id).language == "es"
    assert cover(phone, at).entry.by == ines.id


def test_digits_that_nobody_has_name_nobody(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    assert whose_digits(phone, at, "9999") == ()
    assert whose_digits(phone, at, "") == ()
    assert [one.name for one in people(phone, at)] == ["Ines Quintoval", "Orla Penhallow"]


def test_i10_a_clock_that_jumps_by_decades_changes_no_order_and_no_id_twice(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    made = []
    for jump in (0, 40 * 365, -80 * 365, 40 * 365):
        phone.clock.jump(timedelta(days=jump))
        made.append(cover(phone, at))
    assert [one.line for one in made] == [1, 2, 3, 4]
    assert [one.id for one in phone.book.written(at)[::-1]] == [one.entry.id for one in made]
    assert len({one.entry.id for one in made}) == 4
