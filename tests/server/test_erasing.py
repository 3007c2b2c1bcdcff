"""A person's name erased on request: the book still proves, what entries said stands, the name is nowhere."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.db import connection

from server.book.models import Erased, Row
from server.config.commands import run
from server.config.place import Place
from server.intake import desk
from server.intake.again import read_again
from server.intake.desk import Draft
from server.land.writes import put_hauler, put_town
from server.people import writes
from server.people.errors import NoSuchPerson, NotAName, OnlyOwner, SeveralPeople
from server.people.models import Account, Person, SignIn, Slip
from server.reading.erasing import erase, person_called
from server.reading.sealing import seal
from server.registers import forgetting, links, printings, programs
from server.registers.models import Printing
from server.status import reads as status
from server.status.writes import rebuild
from shared.proof.check import check
from shared.words.bodies.told import Note
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, enrol, fresh_id, outcomes
from tests.server.test_again_and_book import book_lines
from tests.server.web.farmyard import Farmyard, signed_in

NAME = "Beto Luna"


def everywhere() -> str:
    """All that stands in the database, as one text."""
    told = []
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            told += [_text(one) for row in cursor.fetchall() for one in row]
    return "\n".join(told)


def _text(value: Any) -> str:
    return bytes(value).decode("utf-8", "replace") if isinstance(value, (bytes, memoryview)) else str(value)


def written(phone: HandPhone, ground: Ground) -> dict[str, str]:
    """Entries that say the name, and some that don't; their ids by what they are."""
    field = ground.fields[0]
    return {
        "by": phone.write(field=field)["id"],
        "note": phone.write(kind="note", body={"text": "Asked beto  LUNA, he saw it"})["id"],
        "done_by": phone.write(field=field, done_by=NAME)["id"],
        "escaped": _escaped(phone),
        "other": phone.write(kind="note", body={"text": "Betony grows by the Lunar pool"})["id"],
        "held": phone.write(field=fresh_id(), done_by=NAME)["id"],
        "unreadable": _garbage(phone),
    }


def _escaped(phone: HandPhone) -> str:
    tree = phone.write(kind="note", body={"text": "said so"})
    tree["body"]["text"] = "José of Beto Luna"
    phone.kept[-1] = json.dumps(tree, separators=(",", ":")).encode()
    return str(tree["id"])


def _garbage(phone: HandPhone) -> str:
    phone.kept.append(f"no entry, says {NAME}".encode())
    return ""


@pytest.mark.django_db
def test_W20_a_name_is_erased_everywhere_and_the_book_still_proves(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    ids = written(phone, ground)
    assert sorted(outcomes(phone.push())) == ["held"] * 2 + ["kept"] * 5
    sealed = seal(ground.farm.id, ground.owner.id, now())
    before = status.standings(ground.farm.id)[ground.fields[0]]["cover"]
    chain = json.loads(book_lines(phone)[-1])["chain"]
    _, cursor = phone.pull_all()
    done = erase(ground.farm.id, ground.crew.id, f"{NAME} asked for it", now())
    assert (done.entries, done.unreadable) == (5, 1)
    assert "beto" not in everywhere().lower().replace("betony", "")
    lines = book_lines(phone)
    report = check(lines, ground.farm.id)
    assert (report.fault, report.redacted) == (None, 5)
    assert all(one.whole for one in report.seals)
    assert sealed is not None
    assert chain in {json.loads(line).get("chain") for line in lines}
    redacted = [json.loads(line) for line in lines if b'"redacted":true' in line]
    assert all(one["entry"] is None for one in redacted)
    said = [json.loads(one["entry"]) for line in lines if (one := json.loads(line)).get("entry")]
    (told,) = [one["body"] for one in said if one["kind"] == "redact"]
    assert told["person"] == str(ground.crew.id)
    assert told["why"] == "[…] asked for it"
    assert {ids["note"], ids["done_by"], ids["escaped"], ids["held"]} < set(told["entries"])
    assert ids["other"] in {one["id"] for one in said}
    assert status.standings(ground.farm.id)[ground.fields[0]]["cover"] == before
    rows, _ = phone.pull_all(cursor)
    person = rows["people"][str(ground.crew.id)]
    assert (person["name"], person["initials"], person["retired"]) == ("N. N.", "NN", True)


@pytest.mark.django_db
def test_I12_what_follows_from_an_erased_entry_is_the_same_after_a_rebuild_and_is_never_kept_anew(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    ids = written(phone, ground)
    phone.push()
    erase(ground.farm.id, ground.crew.id, "asked", now())
    named = [UUID(one) for one in ids.values() if one]
    before = {one: verdict.value() for one, verdict in status.verdicts(ground.farm.id, named).items()}
    assert [one.outcome for one in before.values()] == ["held"]
    rebuild(ground.fresh(), now())
    after = {one: verdict.value() for one, verdict in status.verdicts(ground.farm.id, named).items()}
    assert after == before
    assert read_again(ground.farm.id, now()) == (0, 0)
    assert outcomes(phone.push()) == ["already"] * 7
    other = HandPhone.join(ground, now(), "another-nonce")
    other.kept = list(phone.kept)
    assert outcomes(other.push()) == ["already"] * 7
    assert NAME not in everywhere()
    erase(ground.farm.id, ground.crew.id, "again", now(), also=["Betony"])
    assert "Betony" not in everywhere()
    assert Person.objects.get(id=ground.crew.id).name == "N. N."


@pytest.mark.django_db
def test_the_page_of_an_erased_entry_says_so_and_shows_the_rest(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    tree = phone.write(kind="note", body={"text": f"Asked {NAME} about the gate"})
    phone.push()
    erase(ground.farm.id, ground.crew.id, "asked", now())
    page = signed_in(ground.owner).get(f"/farm/{ground.farm.id}/entry/{tree['id']}/").content.decode()
    assert "Asked […] about the gate" in page
    assert "name was erased from this entry on request" in page
    assert "N. N." in page
    assert "Beto" not in page


@pytest.mark.django_db
def test_an_account_goes_with_the_name_and_the_only_owner_stays(ground: Ground, now: Clock) -> None:
    with pytest.raises(OnlyOwner):
        erase(ground.farm.id, ground.owner.id, "asked", now())
    account = writes.add_account("Cleo Hart", now())
    second = writes.add_person(ground.farm.id, now(), name="Cleo Hart", role="owner", account=account)
    writes.sign_in_token(account, now())
    code = ground.slip(now())
    assert enrol(code, "nonce-of-a-third").status_code == 201
    desk.write(ground.farm.id, second.id, [Draft(Note(text="Cleo Hart was here"))], now())
    done = erase(ground.farm.id, second.id, "asked", now())
    assert done.entries == 1
    assert not Account.objects.filter(id=account.id).exists()
    assert not SignIn.objects.filter(account_id=account.id).exists()
    assert "Cleo" not in (Slip.objects.exclude(answer=None).first().answer or "")
    again = enrol(code, "nonce-of-a-third")
    assert again.status_code == 201
    assert "Cleo" not in again.content.decode()
    assert Row.objects.filter(kind="note", raw=None).count() == Erased.objects.count() == 1


@pytest.mark.django_db
def test_a_person_is_found_by_name_or_id_and_one_of_two_by_id_alone(ground: Ground, now: Clock) -> None:
    farm = ground.farm.id
    assert person_called(farm, NAME).id == person_called(farm, str(ground.crew.id)).id == ground.crew.id
    with pytest.raises(NoSuchPerson):
        person_called(farm, "Beto")
    twin = writes.add_person(farm, now(), name=NAME, role="crew")
    with pytest.raises(SeveralPeople) as told:
        person_called(farm, NAME)
    assert str(twin.id) in told.value.ids
    with pytest.raises(NotAName):
        erase(farm, twin.id, "asked", now(), also=["12"])
    erase(farm, twin.id, "asked", now())
    erase(farm, ground.crew.id, "asked", now())
    names = Person.objects.filter(farm_id=farm, retired=True).order_by("turn").values_list("name", flat=True)
    assert list(names) == ["N. N.", "N. N. 2"]


@pytest.mark.django_db
def test_the_command_says_what_it_did_and_what_it_can_not(
    phone: HandPhone, ground: Ground, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    phone.write(kind="note", body={"text": NAME})
    phone.push()
    words = ["redact", NAME, "--why", "asked", "--farm", "Fallow Rise", "--data", str(tmp_path)]
    assert run(words) == 0
    assert capsys.readouterr().out.startswith("erased: 1 entries lost their words, 0 of them wholly;")
    assert run(words) == 1
    assert capsys.readouterr().err.startswith("Nobody of this farm is called Beto Luna.")


@pytest.mark.django_db
def test_what_is_called_after_somebody_is_called_so_no_more_and_documents_that_may_say_it_go(
    phone: HandPhone, ground: Ground, now: Clock, tmp_path: Path, settings: Any
) -> None:
    settings.PLACE = Place(tmp_path)
    yard = Farmyard.of(ground, now())
    put_town(yard.farm, now(), yard.town, name=f"Town of {NAME}")
    put_hauler(yard.farm, now(), name=f"{NAME.upper()} Hauling")
    links.make(ground.fresh(), ground.owner.id, f"for {NAME}", "en", now().date(), now())
    programs.make(ground.fresh(), ground.owner.id, f"{NAME}'s spreadsheet", now())
    told = {"first": now().date(), "last": now().date(), "language": "en", "lines": 1, "number": 1}
    kept = Printing.objects.create(farm=ground.farm, asked_at=now(), register="leaf_intake", **told)
    printings.folder().mkdir(parents=True)
    printings.file_of(kept).write_bytes(b"%PDF says the name")
    _, cursor = phone.pull_all()
    erase(ground.farm.id, ground.crew.id, "asked", now(), elsewhere=[forgetting.forget])
    assert "beto" not in everywhere().lower()
    assert not printings.file_of(kept).exists()
    rows, _ = phone.pull_all(cursor)
    assert rows["towns"][str(yard.town)]["name"] == "Town of […]"
    assert [one["name"] for one in rows["haulers"].values()] == ["[…] Hauling"]
    assert check(book_lines(phone), ground.farm.id).fault is None
