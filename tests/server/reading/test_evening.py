"""The evening reading: what is unusual, what may be initialled together, and what is left alone."""

from __future__ import annotations

from decimal import Decimal
from uuid import UUID

import pytest
from django.test import Client

from server.book import reads as book
from server.book.models import Row
from server.people.models import Boot
from server.reading import reads
from server.status import reads as status
from shared.languages import say
from shared.words.bodies.reading import Reading
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover
from tests.server.ground import HandPhone, raw
from tests.server.web.farmyard import Farmyard, signed_in

DAY = "2026-06-01"


def spread_of(yard: Farmyard, now) -> reads.Spread:
    return reads.spread(yard.ground.fresh(), now().date(), now())


def sort_of(read: reads.Read) -> set[str]:
    return {one.key.rsplit(".", 1)[-1] for one in read.reasons}


def test_a_figure_that_is_hard_to_believe_is_unusual_and_says_why(yard: Farmyard, owner: Client, now):
    yard.write(Cover("rye", Decimal("620"), "none"), field=yard.ground.fields[0])
    (one,) = spread_of(yard, now).unusual
    assert "outside" in sort_of(one)
    text = owner.get(yard.page("evening_reading")).content.decode()
    why = say("en", "unusual.outside", key="Height", value=620, low=0, high=180, unit="in")
    assert why in text


def test_a_figure_far_from_the_other_stops_of_its_round_is_unusual(yard: Farmyard, now):
    yard.cover_round(yard.ground.fields[0], ["30", "31", "29", "30", "32", "31", "30", "88"])
    spread = spread_of(yard, now)
    assert [one.entry.stop for one in spread.unusual] == [8]
    assert sort_of(spread.unusual[0]) == {"far_off_height"}


def test_a_depth_over_a_sheet_in_force_is_unusual(yard: Farmyard, now):
    yard.sheets("new_jersey")
    yard.depth_round(yard.ground.fields[0], ["5", "5.5", "6.4"])
    assert [one.entry.stop for one in spread_of(yard, now).unusual] == [3]


def test_an_entry_of_a_phone_whose_clock_was_off_is_unusual(yard: Farmyard, phone: HandPhone, now):
    tree = phone.write(field=yard.ground.fields[0])
    assert phone.push(sent_at="2026-06-01T12:14:00.000Z").status_code == 200
    assert Boot.objects.get(phone_id=phone.id).skew_ms == pytest.approx(14 * 60_000, abs=60_000)
    (one,) = spread_of(yard, now).unusual
    assert str(one.id) == tree["id"]
    assert sort_of(one) == {"clock_ahead"}


def test_a_load_turned_back_without_a_photo_is_unusual(yard: Farmyard, now):
    yard.load(None)
    assert sort_of(spread_of(yard, now).unusual[0]) == {"turned_back_without_photo"}


def test_a_held_line_stands_among_the_unusual_with_its_raw_text(
    yard: Farmyard, phone: HandPhone, owner: Client, now
):
    phone.kept.append(raw({"kind": "cover", "height": "<i>thirty</i>"}))
    assert phone.push().status_code == 200
    (one,) = spread_of(yard, now).unusual
    assert one.mark == "held"
    text = owner.get(yard.page("entry", one.id)).content.decode()
    assert "&lt;i&gt;thirty&lt;/i&gt;" in text
    assert say("en", "reading.put_by") in text
    assert str(one.id) in owner.get(yard.page("held")).content.decode()


def test_the_rest_is_initialled_together_and_the_unusual_is_not(yard: Farmyard, owner: Client, now):
    field = yard.ground.fields[0]
    usual = yard.notes(5, field=field)
    odd = yard.write(Cover("rye", Decimal("620"), "none"), field=field).entry
    page = owner.post(yard.page("initial_the_rest"), {"day": DAY, "entry": [*usual, odd]}, follow=True)
    marks = {one: verdict.mark for one, verdict in status.verdicts(yard.farm, [*usual, odd]).items()}
    assert marks == dict.fromkeys(usual, "initialled")
    text = page.content.decode()
    assert say("en", "reading.initialled_together", count=5) in text
    assert say("en", "reading.marked_before", count=1) in text


def test_what_is_unusual_is_initialled_from_its_own_page_as_opened(yard: Farmyard, owner: Client, now):
    row = yard.write(Cover("rye", Decimal("620"), "none"), field=yard.ground.fields[0])
    form = owner.get(yard.page("entry", row.entry)).context["one"].read
    owner.post(yard.page("initial_opened"), {"seen": f"{row.entry}:{form.turn}"})
    assert status.verdicts(yard.farm, [row.entry])[row.entry].mark == "initialled"
    assert reads.initials(yard.ground.farm, [row.entry])[row.entry].opened


def test_the_page_says_how_many_were_read_and_how_many_together(yard: Farmyard, owner: Client, now):
    field = yard.ground.fields[0]
    notes = yard.notes(4, field=field)
    odd = yard.write(Cover("rye", Decimal("620"), "none"), field=field).entry
    owner.post(yard.page("initial_opened"), {"seen": f"{odd}:0"})
    owner.post(yard.page("initial_the_rest"), {"day": DAY, "entry": notes[:3]})
    text = owner.get(yard.page("evening_reading")).content.decode()
    assert say("en", "reading.day_sum", read=1, together=3, open=3) in text  # a note and the two outlines


def test_a_round_is_opened_and_initialled_as_a_whole(yard: Farmyard, owner: Client, now):
    walked = yard.cover_round(yard.ground.fields[0], ["30", "31", "29", "30", "32", "31", "30", "88"])
    story = owner.get(yard.page("round", walked)).context["story"]
    seen = [f"{one.read.id}:{one.read.turn}" for one in story.unsettled]
    assert len(seen) == 8
    owner.post(yard.page("initial_opened"), {"seen": seen})
    assert spread_of(yard, now).unusual_open == ()
    readings = list(book.all_written(book.of_kinds(yard.farm, ["reading"])))
    (body,) = [one.entry.body for one in readings]
    assert isinstance(body, Reading)
    assert (len(body.entries), body.opened) == (8, True)


def test_a_second_manager_does_not_overwrite_the_first(yard: Farmyard, owner: Client, now):
    other = signed_in(yard.hand("Dora Finch", "manager"))
    row = yard.write(Cover("rye", Decimal("620"), "none"), field=yard.ground.fields[0])
    turn = other.get(yard.page("entry", row.entry)).context["one"].read.turn
    owner.post(yard.page("initial_opened"), {"seen": f"{row.entry}:{turn}"})
    number = yard.ground.fresh().number
    told = other.post(
        yard.page("mark", row.entry), {"mark": "put_by", "why": "a slip", "turn": turn}, follow=True
    )
    assert say("en", "refusals.spoken_of_since.detail") in told.content.decode().replace("&#x27;", "'")
    assert yard.ground.fresh().number == number
    assert status.verdicts(yard.farm, [row.entry])[row.entry].mark == "initialled"


def test_two_managers_initial_a_day_and_each_entry_is_marked_once(yard: Farmyard, owner: Client, now):
    other = signed_in(yard.hand("Dora Finch", "manager"))
    notes = yard.notes(3)
    owner.post(yard.page("initial_the_rest"), {"day": DAY, "entry": notes[:2]})
    page = other.post(yard.page("initial_the_rest"), {"day": DAY, "entry": notes}, follow=True)
    assert say("en", "reading.initialled_together", count=1) in page.content.decode()
    marked = [
        one
        for written in book.all_written(book.of_kinds(yard.farm, ["reading"]))
        for one in written.entry.body.entries
    ]
    assert sorted(marked, key=str) == sorted(notes, key=str)


def test_what_came_in_after_the_page_was_made_is_left_for_the_next_look(yard: Farmyard, owner: Client):
    first = yard.write(Note("before")).entry
    late = yard.write(Note("after")).entry
    owner.post(yard.page("initial_the_rest"), {"day": DAY, "entry": [first]})
    assert set(status.verdicts(yard.farm, [first, late])) == {first}


def test_a_query_goes_to_whoever_wrote_it(yard: Farmyard, owner: Client):
    row = yard.write(Note("two rows by the well"))
    owner.post(yard.page("mark", row.entry), {"mark": "query", "ask": "which_field", "turn": 0})
    (asked,) = status.open_queries(yard.farm)
    assert (asked.about, asked.to, asked.ask) == (row.entry, yard.ground.crew.id, "which_field")


@pytest.mark.parametrize(
    ("form", "code"),
    [
        ({"mark": "query", "ask": "", "why": ""}, "say_why"),
        ({"mark": "query", "ask": "made_up", "why": ""}, "say_why"),
        ({"mark": "put_by", "why": "  "}, "say_why"),
        ({"mark": "burn"}, "no_such_mark"),
        ({}, "no_such_mark"),
    ],
)
def test_a_mark_that_says_too_little_writes_nothing(yard: Farmyard, owner: Client, form, code):
    row = yard.write(Note("a note"))
    number = yard.ground.fresh().number
    page = owner.post(yard.page("mark", row.entry), form | {"turn": 0}, follow=True)
    assert say("en", f"refusals.{code}.detail") in page.content.decode()
    assert yard.ground.fresh().number == number


def test_a_held_line_that_is_no_entry_can_be_put_by_and_not_taken(
    yard: Farmyard, phone: HandPhone, owner: Client, now
):
    phone.kept.append(b"not json at all")
    phone.push()
    (one,) = spread_of(yard, now).unusual
    owner.post(yard.page("mark", one.id), {"mark": "taken_as_is", "turn": one.turn})
    assert status.verdicts(yard.farm, [one.id])[one.id].mark == "held"
    owner.post(yard.page("mark", one.id), {"mark": "put_by", "why": "a torn line", "turn": one.turn})
    assert status.verdicts(yard.farm, [one.id])[one.id].mark == "put_by"
    assert owner.get(yard.page("held")).context["waiting"] == []


def test_marks_that_name_nothing_write_nothing(yard: Farmyard, owner: Client):
    number = yard.ground.fresh().number
    for seen in ([], ["x"], [f"{UUID(int=7)}:0"], ["x:y"]):
        assert owner.post(yard.page("initial_opened"), {"seen": seen}).status_code == 404
    owner.post(yard.page("initial_the_rest"), {"day": "no day", "entry": ["x"]})
    assert yard.ground.fresh().number == number


@pytest.mark.parametrize("entries", [3, 40])
def test_more_entries_ask_the_database_no_more_often(
    entries, yard: Farmyard, owner: Client, django_assert_max_num_queries
):
    for field in yard.ground.fields:
        yard.notes(entries, field=field)
    yard.cover_round(yard.ground.fields[0], ["30"] * entries)
    assert Row.objects.count() > entries
    owner.get(yard.page("evening_reading"))
    with django_assert_max_num_queries(40):
        owner.get(yard.page("evening_reading"))
