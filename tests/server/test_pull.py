"""A pull with its cursor, its pages, and what it hears when nothing is new or the book is another."""

from __future__ import annotations

import random
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from server.book.cursor import PLACES, Cursor, Group, read_cursor
from server.intake import desk
from server.intake.desk import Draft
from server.land import writes as land
from server.people import turns, writes
from server.people.models import Farm, Person
from shared.wire.pull import KINDS_PULLED, ROWS, read_page, read_row
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, land_body, outcomes, square
from tests.server.web.farmyard import signed_in

pytestmark = pytest.mark.django_db


def code_of(answer: Any) -> tuple[int, str]:
    return answer.status_code, answer.json()["code"]


def test_W12_a_first_pull_brings_every_row_as_the_values_that_phones_read(
    phone: HandPhone, ground: Ground, now
) -> None:
    town = land.put_town(ground.farm.id, now(), name="Fallowdale")
    hauler = land.put_hauler(ground.farm.id, now(), name="Borough crew")
    land.put_vehicle(
        ground.farm.id,
        now(),
        label="Fallowdale 6",
        town_id=town.id,
        hauler_id=hauler.id,
        bed_yd3="25",
        packing="loose",
    )
    page = read_page(phone.pull().json())
    assert set(page.rows) == {"fields", "people", "towns", "haulers", "vehicles", "standings", "dues"}
    values = {kind: [read_row(kind, row) for row in rows] for kind, rows in page.rows.items() if kind in ROWS}
    field = next(one for one in values["fields"] if one.id == ground.fields[0])
    assert (field.name, field.version, len(field.outline[0].outer)) == ("Upper Rest", 1, 4)
    assert field.area_ac == pytest.approx(9.36, abs=0.01)
    assert field.spreadable_ac == pytest.approx(field.area_ac, rel=1e-3)
    assert values["vehicles"][0].town == town.id


def test_W12_nothing_new_is_304_and_one_query(phone: HandPhone, ground: Ground) -> None:
    _, cursor = phone.pull_all()
    with CaptureQueriesContext(connection) as asked:
        answer = phone.pull(cursor)
    assert answer.status_code == 304
    assert len(asked) == 1, [one["sql"] for one in asked]
    assert answer.content == b""
    assert answer.headers["ETag"] == f'"{cursor}"'


def test_W12_only_what_changed_since_comes_and_every_answer_carries_its_etag(
    phone: HandPhone, ground: Ground
) -> None:
    _, cursor = phone.pull_all()
    person = Person.objects.get(id=ground.crew.id)
    writes.change_person(person, name="Beto Luna Paz")
    answer = phone.pull(cursor)
    page = answer.json()
    assert {kind: [row["name"] for row in rows] for kind, rows in page["rows"].items()} == {
        "people": ["Beto Luna Paz"]
    }
    assert answer.headers["ETag"] == f'"{page["next"]}"'
    assert answer.headers["Cache-Control"] == "private, no-cache"
    assert "Authorization" in answer.headers["Vary"]


def test_W12_pages_of_any_size_bring_the_same_rows(phone: HandPhone, ground: Ground, now: Clock) -> None:
    for place in range(23):
        land.put_town(ground.farm.id, now(), name=f"town {place}")
    for place in range(7):
        phone.write(field=ground.fields[place % 2])
        phone.push(place + 1)
    everything = ",".join(KINDS_PULLED)
    whole, end = phone.pull_all(kinds=everything)
    assert len(whole["entries"]) == ground.fresh().number
    for limit in (1, 2, 3, 7, 100):
        assert phone.pull_all(limit=limit, kinds=everything) == (whole, end)


def test_W12_a_row_that_went_is_named_as_gone(phone: HandPhone, ground: Ground, now: Clock) -> None:
    town = land.put_town(ground.farm.id, now(), name="Fallowdale")
    _, cursor = phone.pull_all()
    name = str(town.id)
    turns.remove(ground.farm.id, "towns", [(town, name)])
    page = phone.pull(cursor).json()
    assert page["gone"] == {"towns": [name]}


def test_W13_kinds_that_an_app_has_newly_learnt_are_filled_in_first(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    rows, cursor = phone.pull_all(kinds="fields")
    assert set(rows) == {"fields"}
    land.put_town(ground.farm.id, now(), name="Fallowdale")
    desk.write(ground.farm.id, ground.owner.id, [redrawn(ground)], now())
    page = phone.pull(cursor, kinds="fields,people,towns", limit=2).json()
    assert set(page["rows"]) == {"people"}
    assert page["more"]
    more, end = phone.pull_all(page["next"], kinds="fields,people,towns", limit=1)
    assert [row["name"] for row in more["towns"].values()] == ["Fallowdale"]
    assert [row["version"] for row in more["fields"].values()] == [2]
    assert phone.pull(end, kinds="fields,people,towns").status_code == 304


def redrawn(ground: Ground) -> Draft:
    return Draft(
        land_body(ground.fields[0], "Upper Rest", square("40.1", "-75.1", "0.003"), version=2),
        field=ground.fields[0],
    )


def test_W13_the_farms_entries_come_to_a_phone_that_asks_with_their_exact_bytes(
    phone: HandPhone, ground: Ground
) -> None:
    phone.write()
    phone.kept.append(b"\xff")
    phone.push()
    rows, _ = phone.pull_all(kinds="entries")
    mine = [row for row in rows["entries"].values() if row["phone"] == str(phone.id)]
    assert [row["entry"] for row in mine] == [phone.kept[0].decode(), None]
    assert mine[1]["entry_b64"] == "/w=="
    assert [row["number"] for row in rows["entries"].values()] == list(range(1, ground.fresh().number + 1))


@pytest.mark.parametrize("cursor", ["x", "0", "1_", "1_00000000_1_0000000000000000_0_0", "A" * 5000, "1\n"])
def test_W13_an_unreadable_cursor_has_diverged(phone: HandPhone, cursor: str) -> None:
    assert code_of(phone.pull(cursor)) == (409, "diverged")


def test_W13_a_cursor_of_another_era_chain_or_future_has_diverged(phone: HandPhone, ground: Ground) -> None:
    phone.write()
    phone.push()
    _, text = phone.pull_all(kinds="fields,entries")
    cursor = read_cursor(text)
    assert cursor.text() == text
    wrong = [
        Cursor("00000000", cursor.number, cursor.chain, cursor.entries, 0, cursor.groups),
        Cursor(cursor.era, cursor.number, "0" * 16, cursor.entries, 0, cursor.groups),
        Cursor(cursor.era, cursor.number - 1, cursor.chain, 0, 0, cursor.groups),
        Cursor(cursor.era, cursor.number + 1, cursor.chain, 0, 0, cursor.groups),
        Cursor(cursor.era, cursor.number, cursor.chain, cursor.number + 1, 0, cursor.groups),
        Cursor(cursor.era, cursor.number, cursor.chain, 0, 0, (Group(cursor.kinds, 10**9),)),
    ]
    for one in wrong:
        assert code_of(phone.pull(one.text(), kinds="fields,entries")) == (409, "diverged"), one


def test_W13_an_older_cursor_of_the_same_book_goes_on_from_there(phone: HandPhone, ground: Ground) -> None:
    _, cursor = phone.pull_all(kinds="fields,entries")
    phone.write()
    phone.push()
    rows, _ = phone.pull_all(cursor, kinds="fields,entries")
    assert [row["entry"] for row in rows["entries"].values()] == [phone.kept[0].decode()]


def test_W13_a_cursor_older_than_the_tombstones_starts_over(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    _, cursor = phone.pull_all()
    town = land.put_town(ground.farm.id, now(), name="Fallowdale")
    turns.remove(ground.farm.id, "towns", [(town, str(town.id))])
    land.put_town(ground.farm.id, now(), name="Elmbrook")
    turns.clear_tombstones(ground.farm.id, Farm.objects.get().turn - 1)
    assert code_of(phone.pull(cursor)) == (410, "start_over")
    rows, cursor = phone.pull_all(limit=1)
    assert [row["name"] for row in rows["towns"].values()] == ["Elmbrook"]
    assert phone.pull(cursor).status_code == 304


def test_W13_the_places_of_the_kinds_in_a_cursor_hold_every_kind() -> None:
    assert set(PLACES) == set(KINDS_PULLED)


def test_I5_a_pull_at_any_cursor_gives_exactly_what_is_above_it(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    draw = random.Random(7)
    everything = ",".join(KINDS_PULLED)
    cursors = []
    for place in range(25):
        match draw.randrange(3):
            case 0:
                phone.write(field=draw.choice(ground.fields))
                phone.push(len(phone.kept))
            case 1:
                land.put_town(ground.farm.id, now(), name=f"town {place}")
            case _:
                person = Person.objects.get(id=ground.crew.id)
                writes.change_person(person, name=f"Beto {place}")
        cursors.append(phone.pull_all(kinds=everything))
    last, end = phone.pull_all(kinds=everything)
    for rows, cursor in cursors:
        new, reached = phone.pull_all(cursor, kinds=everything, limit=draw.randint(1, 5))
        merged = {kind: rows.get(kind, {}) | new.get(kind, {}) for kind in rows.keys() | new.keys()}
        assert (merged, reached) == (last, end)


@pytest.mark.parametrize(
    ("app", "status"),
    [("0.9.9", 403), ("0.10.0", 200), ("1.0.0", 200), ("", 200), ("0.9", 200), ("0.9.9 of somebody", 200)],
)
def test_W17_an_app_that_is_too_old_fetches_nothing_and_hands_in_as_before(
    phone: HandPhone, ground: Ground, settings: Any, app: str, status: int
) -> None:
    settings.OLDEST_APP = "0.10.0"
    phone.write()
    told = {"Goodground-App": app} if app else {}
    assert outcomes(phone.send(phone.body(1), **told)) == ["kept"]
    answer = phone.client.get("/api/v1/changes/", headers=phone.auth | told)
    assert answer.status_code == status
    assert answer.headers["Goodground-Line"].startswith("1 ")
    if status == 403:
        assert answer.json()["code"] == "app_too_old"
        assert answer.json()["detail"].startswith("It says 0.9.9, and at least 0.10.0 is needed.")


def test_the_phones_page_knows_what_waits_and_which_app_as_the_phone_last_said(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.client.get("/api/v1/changes/", headers=phone.auth | {"Goodground-Waiting": "14"})
    now.forward(minutes=3)
    phone.client.get(
        "/api/v1/changes/", headers=phone.auth | {"Goodground-Waiting": "3", "Goodground-App": "0.2.1"}
    )
    assert (phone.row.waits, phone.row.waits_at, phone.row.app) == (3, now(), "0.2.1")
    for nonsense in ("-1", "1e3", "9" * 40, "viele"):
        phone.client.get("/api/v1/changes/", headers=phone.auth | {"Goodground-Waiting": nonsense})
    assert phone.row.waits == 3
    shown = signed_in(ground.owner).get(f"/farm/{ground.farm.id}/the-farm/phones/").content.decode()
    assert "linux 0.2.1" in shown
    assert ">3</td>" in shown


def test_W11b_every_reference_row_takes_a_turn_of_its_own_and_none_stands_in_the_book(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    before = ground.fresh()
    town = land.put_town(ground.farm.id, now(), name="Fallowdale")
    hauler = land.put_hauler(ground.farm.id, now(), name="Rook Hauling")
    person = writes.add_person(ground.farm.id, now(), name="Cleo Hart", role="crew")
    writes.change_person(person, initials="CH")
    turns.remove(ground.farm.id, "haulers", [(hauler, str(hauler.id))])
    after = ground.fresh()
    assert (after.number, after.chain) == (before.number, before.chain)
    assert after.turn == before.turn + 5
    town.refresh_from_db()
    person.refresh_from_db()
    assert (town.turn, person.turn) == (before.turn + 1, before.turn + 4)
    rows, _ = phone.pull_all()
    assert str(hauler.id) not in rows.get("haulers", {})
    assert {str(town.id), str(person.id)} <= rows["towns"].keys() | rows["people"].keys()
