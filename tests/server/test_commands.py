"""The server's commands: what they print, and what they say when they can't."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.db import connection

from server.config.commands import COMMANDS, parser, run
from server.people.models import Farm, Person, Phone, Slip
from server.people.writes import use_sign_in
from tests.server.conftest import Clock
from tests.server.ground import Ground

pytestmark = pytest.mark.django_db


def told(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = run(words)
    heard = capsys.readouterr()
    return code, heard.out, heard.err


def test_new_farm_makes_a_farm_whose_owner_signs_in_by_the_link_once(
    tmp_path: Path, now: Clock, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = told(
        capsys, "new-farm", "Second Bottom", "--zone", "America/Chicago", "--data", str(tmp_path)
    )
    assert code == 0
    token = out.strip().removeprefix("http://127.0.0.1:8000/sign-in/").removesuffix("/")
    owner = Person.objects.get(account=use_sign_in(token, now()))
    assert (owner.role, owner.farm.name, owner.farm.zone) == ("owner", "Second Bottom", "America/Chicago")
    assert Phone.objects.get(farm=owner.farm).desk


def test_new_farm_refuses_a_name_that_is_taken_and_a_zone_that_is_none(
    ground: Ground, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    again = told(capsys, "new-farm", "Fallow Rise", "--data", str(tmp_path))
    assert again == (1, "", "There is a farm called Fallow Rise on this server. Choose another name.\n")
    zone = told(capsys, "new-farm", "Third Bottom", "--zone", "Mars/Olympus", "--data", str(tmp_path))
    assert zone == (1, "", "Mars/Olympus is no time zone. Write one such as America/New_York.\n")
    assert Farm.objects.count() == 1


def test_code_prints_one_joining_slips_code_and_nothing_else(
    ground: Ground, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = told(capsys, "code", "--farm", "Fallow Rise", "--data", str(tmp_path))
    assert (code, len(out), err) == (0, 11, "")
    assert Slip.objects.get().farm == ground.farm
    unknown = told(capsys, "code", "--farm", "Nowhere", "--data", str(tmp_path))
    assert unknown[0] == 1
    assert unknown[2].startswith("There is no farm called Nowhere on this server.")


def test_a_command_that_is_not_there_or_lacks_a_word_says_which(capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["fly"], ["code", "--farm", "Fallow Rise"], []):
        with pytest.raises(SystemExit) as ended:
            parser().parse_args(words)
        assert ended.value.code == 2
    assert "--data" in capsys.readouterr().err


def test_every_command_says_what_it_is_for() -> None:
    text = parser().format_help()
    for one in COMMANDS:
        assert one.name in text
        assert one.help


def test_the_test_database_is_kept_like_a_farms(ground: Ground) -> None:
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA synchronous")
            assert cursor.fetchone() == (2,)
