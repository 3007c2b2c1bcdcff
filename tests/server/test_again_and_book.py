"""What was held is read again; the book goes out so that anybody can check it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from server.book.models import Row
from server.config.commands import run
from server.intake import desk
from server.intake.again import read_again
from server.intake.desk import Draft
from server.people import writes
from server.status import reads as status
from server.status.writes import rebuild
from shared.proof.check import check
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, found, fresh_id, land_body, outcomes, square

pytestmark = pytest.mark.django_db


def test_W9_an_entry_held_for_an_unknown_field_is_kept_once_the_field_is_known(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    field = fresh_id()
    tree = phone.write(field=field)
    phone.write(field=fresh_id())
    phone.kept.append(b"not json")
    assert outcomes(phone.push()) == ["held", "held", "held"]
    rows, cursor = phone.pull_all()
    assert rows["verdicts"][tree["id"]]["mark"] == "held"
    assert read_again(ground.farm.id, now()) == (0, 2)
    desk.write(
        ground.farm.id,
        ground.owner.id,
        [Draft(land_body(field, "Lower Rest", square("40.2", "-75.1")))],
        now(),
    )
    assert read_again(ground.farm.id, now()) == (1, 1)
    row = Row.objects.get(farm=ground.farm, entry=UUID(tree["id"]))
    assert (row.outcome, row.phone.desk, bytes(row.raw)) == ("kept", True, phone.kept[0])
    assert len(status.standings(ground.farm.id)[field]["cover"]) == 1
    told, _ = phone.pull_all(cursor)
    assert (told["verdicts"][tree["id"]]["outcome"], told["verdicts"][tree["id"]]["mark"]) == (
        "kept",
        "unread",
    )
    assert read_again(ground.farm.id, now()) == (0, 1)


def test_W9_what_was_answered_once_is_answered_so_for_ever_and_a_new_enrolment_hears_kept(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    person = fresh_id()
    phone.write(by=person)
    first = phone.push().json()["results"][0]
    writes.add_person(ground.farm.id, now(), person, name="Cleo Hart", role="crew")
    assert read_again(ground.farm.id, now()) == (1, 0)
    again = phone.push().json()["results"][0]
    assert (again["outcome"], again["was"], again["number"]) == ("already", "held", first["number"])
    other = HandPhone.join(ground, now(), "another-nonce")
    other.kept = list(phone.kept)
    told = other.push().json()["results"][0]
    assert (told["outcome"], told["was"], told["number"]) == ("already", "kept", first["number"] + 1)


def test_I12_what_was_read_again_is_the_same_after_a_rebuild(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    person = fresh_id()
    tree = phone.write(by=person, field=ground.fields[0])
    phone.push()
    phone.pull_all()
    writes.add_person(ground.farm.id, now(), person, name="Cleo Hart", role="crew")
    read_again(ground.farm.id, now())
    before = status.verdicts(ground.farm.id, [UUID(tree["id"])])[UUID(tree["id"])].value()
    rebuild(ground.fresh(), now())
    assert status.verdicts(ground.farm.id, [UUID(tree["id"])])[UUID(tree["id"])].value() == before
    assert before.outcome == "kept"


def book_lines(phone: HandPhone, **query: Any) -> list[bytes]:
    answer = phone.client.get("/api/v1/book/", query, headers=phone.auth)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/x-ndjson"
    return b"".join(answer.streaming_content).splitlines()


def test_W20_the_whole_book_goes_out_and_checks_without_a_server(phone: HandPhone, ground: Ground) -> None:
    for _ in range(3):
        phone.write(field=ground.fields[0])
    phone.kept.append(b"\xff\xfe")
    phone.write(kind="note", body={"text": "x" * 66_000})
    phone.push()
    lines = book_lines(phone)
    report = check(lines, ground.farm.id)
    assert report.fault is None
    assert (report.rows, report.last) == (7, 7)
    assert json.loads(lines[-1])["end"] == 7
    assert json.loads(lines[-2])["entry"] is None


def test_W20_a_part_of_the_book_says_what_was_before_it(phone: HandPhone, ground: Ground) -> None:
    for _ in range(6):
        phone.write()
    phone.push()
    lines = book_lines(phone, **{"from": 3, "to": 6})
    assert json.loads(lines[0])["before"] == 2
    assert [json.loads(line)["number"] for line in lines[1:-1]] == [3, 4, 5, 6]
    report = check(lines, ground.farm.id)
    assert report.fault is None
    assert book_lines(phone, **{"from": 100})[-1] == book_lines(phone, to=10**9)[-1]


def test_I14_any_byte_of_the_book_that_is_altered_is_found(phone: HandPhone, ground: Ground) -> None:
    for _ in range(3):
        phone.write()
    phone.push()
    lines = book_lines(phone)
    for place in range(len(lines) - 1):
        dropped = lines[:place] + lines[place + 1 :]
        assert check(dropped, ground.farm.id).fault is not None
        for what, instead in ((b"rye", b"oat"), (b"drawn", b"drown"), (b"00Z", b"01Z"), (b"kept", b"held")):
            altered = [*lines]
            altered[place] = lines[place].replace(what, instead, 1)
            assert altered[place] == lines[place] or check(altered, ground.farm.id).fault is not None
    assert check(lines[:-1], ground.farm.id).fault is not None


def test_I16_the_book_of_another_farm_is_not_to_be_had(phone: HandPhone, ground: Ground, now: Clock) -> None:
    theirs = HandPhone.join(found("Second Bottom", now()), now(), "their-nonce")
    phone.write()
    phone.push()
    assert check(book_lines(theirs), ground.farm.id).fault is not None
    assert str(phone.id).encode() not in b"".join(book_lines(theirs))


def test_the_commands_read_again_and_book_say_what_they_did(
    phone: HandPhone, ground: Ground, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    phone.write(field=fresh_id())
    phone.push()
    assert run(["read-again", "--data", str(tmp_path)]) == 0
    assert capfdbinary.readouterr().out == b"Fallow Rise: 0 kept, 1 held still\n"
    assert run(["book", "--farm", "Fallow Rise", "--data", str(tmp_path)]) == 0
    lines = capfdbinary.readouterr().out.splitlines()
    assert check(lines, ground.farm.id).fault is None
