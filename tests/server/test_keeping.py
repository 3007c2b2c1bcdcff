"""Backups that are read back and checked, what is safe by them, restores, and the day's seal."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from server.book.models import Row
from server.keeping.backups import mark_safe
from server.keeping.checking import checked
from server.keeping.errors import BackupBroken, NotSoFar
from server.reading.sealing import seal
from shared.proof.check import check
from shared.sync import merkle
from shared.wire.push import Stays
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone
from tests.server.serving import ROOT, command, environment, serving
from tests.server.test_again_and_book import book_lines
from tests.server.test_served import Caller


@pytest.mark.django_db
def test_W10_safe_is_the_highest_line_up_to_which_all_stand_in_a_checked_backup(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    for _ in range(3):
        phone.write()
    assert phone.push().json()["safe"] == 0
    mark_safe(ground.farm.id, ground.fresh().number - 1, now())
    assert phone.push(3).json()["safe"] == 2
    mark_safe(ground.farm.id, ground.fresh().number, now())
    phone.write()
    assert phone.push(4).json()["safe"] == 3


@pytest.mark.django_db
def test_W10_a_refused_line_is_never_safe_nor_is_any_after_it(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    phone.kept.append(Stays("ab" * 32, 70_000))
    phone.write()
    phone.push()
    mark_safe(ground.farm.id, ground.fresh().number, now())
    assert phone.push(4).json()["safe"] == 1


@pytest.mark.django_db
def test_W10_entries_that_came_under_an_earlier_enrolment_are_safe_where_they_stand(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    phone.push()
    mark_safe(ground.farm.id, ground.fresh().number, now())
    other = HandPhone.join(ground, now(), "another-nonce")
    other.kept = list(phone.kept)
    other.push()
    mark_safe(ground.farm.id, ground.fresh().number, now())
    assert other.push(2).json()["safe"] == 1


@pytest.mark.django_db
def test_a_backup_that_reaches_further_than_the_book_is_a_mistake(ground: Ground, now: Clock) -> None:
    with pytest.raises(NotSoFar):
        mark_safe(ground.farm.id, ground.fresh().number + 1, now())


@pytest.mark.django_db
def test_W21_a_seal_covers_every_line_since_the_last_and_stands_in_the_book(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    for _ in range(3):
        phone.write()
    phone.push()
    first = seal(ground.farm.id, ground.owner.id, now())
    phone.write()
    phone.push(4)
    second = seal(ground.farm.id, ground.owner.id, now())
    assert first is not None
    assert second is not None
    report = check(book_lines(phone), ground.farm.id)
    assert report.fault is None
    assert [(one.number, one.first, one.last) for one in report.seals] == [(6, 1, 5), (8, 6, 7)]
    assert all(one.whole for one in report.seals)
    from server.book.reads import chained, entry_of

    body = entry_of(second).body
    leaves = [
        chained(row).text().encode() for row in Row.objects.filter(number__in=(6, 7)).order_by("number")
    ]
    assert body.root == merkle.root(leaves)
    assert body.before == first.entry
    assert seal(ground.farm.id, ground.owner.id, now()) is not None


def broken(file: Path, statement: str) -> None:
    with closing(sqlite3.connect(file)) as book:
        book.execute(statement)
        book.commit()


def refused(*words: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "server", *words],
        cwd=ROOT,
        env=environment(),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    return done.stderr


def test_I13_a_server_put_back_from_a_backup_gets_every_entry_of_the_phones_again(tmp_path: Path) -> None:
    data, kept = tmp_path / "data", tmp_path / "kept"
    command(data, "new-farm", "Fallow Rise")
    code = command(data, "code", "--farm", "Fallow Rise").strip()
    with serving(data) as at:
        phone = Caller(at).join(code)
        for _ in range(3):
            phone.write()
        assert phone.push(1)[0] == 200
        _, page, _ = phone.ask("GET", "changes/")
        told = command(data, "backup", str(kept))
        assert "read back and checked" in told
        (backup,) = kept.iterdir()
        for _ in range(2):
            phone.write()
        status, answer = phone.push(4)
        assert (status, answer["safe"]) == (200, 3)
        in_use = refused("restore", str(backup), "--data", str(data))
        assert in_use.startswith("Stop the server")
    assert "back to number 6" in command(data, "restore", str(backup))
    with serving(data) as at:
        phone.at = at
        status, told, headers = phone.ask("GET", f"changes/?since={page['next']}")
        assert (status, told["code"]) == (409, "diverged")
        assert headers["Goodground-Line"].startswith("3 ")
        phone.write()
        status, told = phone.push(6)
        assert (status, told["code"], told["expect"]) == (409, "gap", 4)
        status, told = phone.push(4)
        assert [one["outcome"] for one in told["results"]] == ["kept"] * 3
        _, page, _ = phone.ask("GET", "changes/?kinds=entries&limit=1000")
        said = [row["entry"] for row in page["rows"]["entries"]]
        assert [one.decode() for one in phone.kept] == [
            one for one in said if one in {r.decode() for r in phone.kept}
        ]
        assert any('"kind":"restored"' in one for one in said)
    whole = backup / "book.sqlite3"
    assert list(checked(whole).values()) == [6]
    for statement in (
        "UPDATE book_row SET raw = raw || x'20' WHERE number = 4",
        "UPDATE book_row SET outcome = 'held' WHERE number = 5",
        "DELETE FROM book_row WHERE number = 6",
        "UPDATE book_receipt SET sha = substr(sha, 2) || '0' WHERE line = 2",
        "DELETE FROM book_receipt WHERE line = 3",
    ):
        copy = tmp_path / "copy.sqlite3"
        copy.write_bytes(whole.read_bytes())
        broken(copy, statement)
        with pytest.raises(BackupBroken):
            checked(copy)
    torn = tmp_path / "torn.sqlite3"
    torn.write_bytes(whole.read_bytes()[:-5_000])
    with pytest.raises(BackupBroken):
        checked(torn)
