"""The page that takes a carry file in."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from server.config.place import Place
from server.people import tokens, writes
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, found
from tests.server.test_carried import JPEG, file_of
from tests.server.web.farmyard import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def place(settings: Any, tmp_path: Path) -> None:
    settings.PLACE = Place(tmp_path)


def given(client: Client, ground: Ground, file: io.BytesIO | None, **more: str) -> tuple[int, str]:
    if file is not None:
        file.seek(0)
        file.name = "monday.goodground"
        more |= {"file": file}  # type: ignore[dict-item]
    answer = client.post(f"/farm/{ground.farm.id}/the-farm/phones/carry/", more)
    return answer.status_code, answer.content.decode()


def test_W19_a_file_is_taken_on_the_page_and_again_without_a_change(phone: HandPhone, ground: Ground) -> None:
    phone.write(field=ground.fields[0])
    phone.kept.append(b"no entry")
    owner = signed_in(ground.owner)
    status, told = given(owner, ground, file_of(phone, ground, photos=(JPEG, b"no picture")))
    assert status == 200
    for line in (
        "Taken in, from gate phone",
        "Kept in the book",
        "Held for the evening",
        "Photos that can",
    ):
        assert line in told
    number = ground.fresh().number
    status, told = given(owner, ground, file_of(phone, ground))
    assert (status, "Here already" in told, "Kept in the book" in told) == (200, True, False)
    assert ground.fresh().number == number
    assert (
        "Taken in, from gate phone"
        not in owner.get(f"/farm/{ground.farm.id}/the-farm/phones/carry/").content.decode()
    )


def test_W19_a_stopped_phones_file_needs_an_owner_who_allows_it(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    tokens.stop(phone.row, now())
    account = writes.add_account("Dora Finch", now())
    manager = writes.add_person(ground.farm.id, now(), name="Dora Finch", role="manager", account=account)
    before = ground.fresh().number
    status, told = given(signed_in(manager), ground, file_of(phone, ground), leave="yes")
    assert (status, "Only the farm" in told, 'name="leave"' in told) == (400, True, False)
    owner = signed_in(ground.owner)
    status, told = given(owner, ground, file_of(phone, ground))
    assert (status, 'name="leave"' in told) == (400, True)
    assert ground.fresh().number == before
    status, told = given(owner, ground, file_of(phone, ground), leave="yes")
    assert (status, "Held for the evening reading" in told) == (200, True)
    assert ground.fresh().number == before + 1


def test_W19_what_is_no_carry_file_or_anothers_is_told_in_a_sentence(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    owner, before = signed_in(ground.owner), ground.fresh().number
    phone.write()
    other = found("Second Bottom", now())
    bad = [io.BytesIO(b"text"), io.BytesIO(b""), file_of(phone, ground, farm=other.farm.id), None]
    for file in bad:
        status, told = given(owner, ground, file)
        assert status == 400
        assert "Nothing of it was kept" in told or "needed" in told or "Choose" in told or "file" in told
    assert "it was made for another farm" in given(owner, ground, bad[2])[1]
    phone.push()
    phone.kept = []
    phone.write()
    assert "Line 1 is not what was handed in before" in given(owner, ground, file_of(phone, ground))[1]
    assert ground.fresh().number == before + 1
