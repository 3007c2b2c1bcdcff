"""What lies on a server's disk: backups put back, copies that are not whole, names that were erased."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection

from server.book.models import Receipt, Row
from server.book.placing import placed
from server.keeping.checking import checked
from server.keeping.errors import BackupBroken
from server.reading.erasing import erase
from tests.server.conftest import Clock
from tests.server.ground import HandPhone, found, outcomes
from tests.server.serving import ROOT, command, environment, serving
from tests.server.test_served import Caller
from tests.simulation.server_end import a_database_of_its_own
from tests.simulation.stores import laid_empty

NAME = "Beto Luna"


def broken(file: Path, statement: str) -> None:
    with closing(sqlite3.connect(file)) as book:
        book.execute(statement)
        book.commit()


def refused(*words: str, database: str = "") -> str:
    done = subprocess.run(
        [sys.executable, "-m", "server", *words],
        cwd=ROOT,
        env=environment(database),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    return done.stderr


def put_back_once(tmp_path: Path, database: str = "") -> Path:
    """A server that loses all since its backup, and what its phone then hears and does; answers with the backup."""
    data, kept = tmp_path / "data", tmp_path / "kept"
    command(data, "new-farm", "Fallow Rise", database=database)
    code = command(data, "code", "--farm", "Fallow Rise", database=database).strip()
    with serving(data, database=database) as at:
        phone = Caller(at).join(code)
        for _ in range(3):
            phone.write()
        assert phone.push(1)[0] == 200
        _, page, _ = phone.ask("GET", "changes/")
        told = command(data, "backup", str(kept), database=database)
        assert "read back and checked" in told
        (backup,) = kept.iterdir()
        for _ in range(2):
            phone.write()
        status, answer = phone.push(4)
        assert (status, answer["safe"]) == (200, 3)
        in_use = refused("restore", str(backup), "--data", str(data), database=database)
        assert in_use.startswith("Stop the server")
    missed = refused("restore", str(kept), "--data", str(data), database=database)
    assert missed.startswith(f"{kept} is not the folder of one backup.")
    assert f"such as {backup}." in missed
    assert "back to number 6" in command(data, "restore", str(backup), database=database)
    (before,) = data.glob("before-*")
    assert list(checked(before / "book.sqlite3").values()) == [8]
    with serving(data, database=database) as at:
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
    return backup


def test_I13_a_server_put_back_from_a_backup_gets_every_entry_of_the_phones_again(tmp_path: Path) -> None:
    backup = put_back_once(tmp_path)
    whole = backup / "book.sqlite3"
    assert list(checked(whole).values()) == [6]
    for statement in (
        "UPDATE book_row SET raw = raw || x'20' WHERE number = 4",
        "UPDATE book_row SET outcome = 'held' WHERE number = 5",
        "DELETE FROM book_row WHERE number = 6",
        "UPDATE book_row SET head = substr(head, 2) || '0' WHERE number = 4",
        "UPDATE book_row SET head = NULL WHERE number = 5",
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


def test_the_receipt_of_a_line_that_was_known_is_held_to_its_phones_chain_too(
    tmp_path: Path, now: Clock, django_db_blocker: Any
) -> None:
    with django_db_blocker.unblock(), a_database_of_its_own():
        file = Path(laid_empty(tmp_path).name)
        phone = HandPhone.join(found("Fallow Rise", now()), now())
        phone.write()
        phone.kept.append(phone.kept[0])
        assert outcomes(phone.push()) == ["kept", "already"]
    assert list(checked(file).values()) == [3]
    for statement in (
        "UPDATE book_receipt SET sha = substr(sha, 2) || '0'",
        "UPDATE book_receipt SET head = substr(head, 2) || '0'",
        "DELETE FROM book_receipt",
    ):
        copy = tmp_path / "copy.sqlite3"
        copy.write_bytes(file.read_bytes())
        broken(copy, statement)
        with pytest.raises(BackupBroken):
            checked(copy)


def test_a_book_of_an_earlier_version_keeps_its_receipts_and_where_its_rows_are_looked_for(
    tmp_path: Path, now: Clock, django_db_blocker: Any
) -> None:
    with django_db_blocker.unblock(), a_database_of_its_own():
        file = Path(laid_empty(tmp_path).name)
        ground = found("Fallow Rise", now())
        phone = HandPhone.join(ground, now())
        for _ in range(3):
            phone.write(field=ground.fields[0])
        phone.kept[2:2] = [phone.kept[0], b"no entry"]
        assert outcomes(phone.push()) == ["kept", "kept", "already", "held", "kept"]
        placed(ground.farm.id)
        told = list(Row.objects.order_by("number").values())
        call_command("migrate", "book", "0003", verbosity=0)
        call_command("migrate", "people", "0002", verbosity=0)
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT line, head, outcome FROM book_receipt WHERE phone_id = %s ORDER BY line",
                [phone.id.hex],
            )
            assert cursor.fetchall() == [
                (line, phone.head(line), outcome)
                for line, outcome in enumerate(["kept", "kept", "already", "held", "kept"], 1)
            ]
        assert list(checked(file).values()) == [len(told)], "a backup of then can be put back"
        call_command("migrate", verbosity=0)
        assert list(Row.objects.order_by("number").values()) == told
        assert [one.line for one in Receipt.objects.all()] == [3]
        assert ground.fresh().placed == ground.fresh().number
        assert outcomes(phone.push()) == ["already"] * 5


def test_no_byte_of_the_name_is_left_in_the_servers_files(
    tmp_path: Path, now: Clock, django_db_blocker: Any
) -> None:
    """A database that only forgets where something stood would still have it on the disk."""
    with django_db_blocker.unblock(), a_database_of_its_own():
        laid_empty(tmp_path)
        ground = found("Fallow Rise", now())
        phone = HandPhone.join(ground, now())
        for _ in range(40):
            phone.write(kind="note", body={"text": f"{NAME} " + "and others " * 200})
        phone.push()
        assert any(NAME.encode() in one.read_bytes() for one in tmp_path.iterdir())
        erase(ground.farm.id, ground.crew.id, "asked", now())
        files = {one.name: one.read_bytes() for one in tmp_path.iterdir()}
    assert sum(map(len, files.values())) > 100_000
    assert [name for name, content in files.items() if NAME.encode() in content] == []
