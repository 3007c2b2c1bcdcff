"""A carry file, taken in at the desk for a phone that can't reach the server."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from server.book.models import Row
from server.config.commands import run
from server.config.place import Place
from server.intake.carried import CarryNeedsLeave, take
from server.intake.desk import Draft, write
from server.people import tokens
from server.people.models import Phone
from server.photos.models import Photo as PhotoRow
from server.status import reads as status
from shared.errors import BadCarry, Fork
from shared.wire.carry import Carried, lines_digest, write_carry
from shared.wire.scalars import moment
from shared.words.bodies.reading import Reading
from shared.words.entry import Photo
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, found, outcomes

pytestmark = pytest.mark.django_db
JPEG = b"\xff\xd8\xff" + b"p" * 2_000_000


@pytest.fixture(autouse=True)
def place(settings: Any, tmp_path: Path) -> None:
    settings.PLACE = Place(tmp_path)


def file_of(
    phone: HandPhone, ground: Ground, first: int = 1, photos: tuple[bytes, ...] = (), **wrong: Any
) -> io.BytesIO:
    raws = [one for one in phone.kept[first - 1 :] if isinstance(one, bytes)]
    named = tuple(Photo(hashlib.sha256(one).hexdigest(), len(one), "image/jpeg") for one in photos)
    told: dict[str, Any] = {
        "edition": 1,
        "farm": ground.farm.id,
        "phone": phone.id,
        "first": first,
        "prev": phone.head(first - 1),
        "count": len(raws),
        "lines_sha256": lines_digest(raws),
        "made_at": moment("2026-06-01T08:00:00-04:00", "made_at"),
        "photos": named,
    }
    token = wrong.pop("token", phone.token)
    out = io.BytesIO()
    pictures = [(name.sha256, io.BytesIO(one)) for name, one in zip(named, photos, strict=True)]
    write_carry(out, Carried(**told | wrong), raws, pictures, hashlib.sha256(token.encode()).hexdigest())
    return out


def test_W19_a_file_that_fits_on_is_taken_as_a_push_and_the_push_goes_on_behind_it(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    phone.push()
    for _ in range(3):
        phone.write(field=ground.fields[0])
    taken = take(ground.farm.id, file_of(phone, ground, 2), now())
    assert taken.outcomes == {"kept": 3}
    assert (phone.row.line, phone.row.head) == (4, phone.head(4))
    phone.write()
    assert outcomes(phone.push(5)) == ["kept"]


def test_W19_taken_any_number_of_times_it_makes_the_same_book(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    phone.kept.append(b"not json")
    phone.push()
    phone.write()
    carry = file_of(phone, ground)
    assert take(ground.farm.id, carry, now()).outcomes == {"already": 2, "kept": 1}
    book = list(Row.objects.order_by("number").values_list("number", "chain"))
    assert take(ground.farm.id, carry, now()).outcomes == {"already": 3}
    assert list(Row.objects.order_by("number").values_list("number", "chain")) == book


def test_W19_beyond_a_gap_entries_are_taken_and_the_later_push_answers_already(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    for _ in range(4):
        phone.write()
    carry = file_of(phone, ground, 3)
    assert take(ground.farm.id, carry, now()).outcomes == {"kept": 2}
    assert phone.row.line == 0
    assert take(ground.farm.id, carry, now()).outcomes == {"already": 2}
    told = phone.push().json()
    assert [one["outcome"] for one in told["results"]] == ["kept", "kept", "already", "already"]
    assert told["head"] == phone.head(4)
    assert Row.objects.filter(phone=phone.id).count() == 4


def test_W19_more_lines_than_a_push_may_hold_are_taken(phone: HandPhone, ground: Ground, now: Clock) -> None:
    for _ in range(620):
        phone.write()
    assert take(ground.farm.id, file_of(phone, ground), now()).outcomes == {"kept": 620}
    assert phone.row.head == phone.head(620)


def test_W19_a_fork_is_noticed_and_nothing_is_applied(phone: HandPhone, ground: Ground, now: Clock) -> None:
    phone.write()
    phone.push()
    phone.kept = []
    phone.write()
    phone.write()
    with pytest.raises(Fork):
        take(ground.farm.id, file_of(phone, ground), now())
    assert Row.objects.filter(phone=phone.id).count() == 1


def test_W19_a_stopped_phones_file_is_held_with_an_owners_leave(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    tree = phone.write(field=ground.fields[0])
    tokens.stop(phone.row, now())
    carry = file_of(phone, ground)
    with pytest.raises(CarryNeedsLeave):
        take(ground.farm.id, carry, now())
    assert take(ground.farm.id, carry, now(), leave=True).outcomes == {"held": 1}
    entry = UUID(tree["id"])
    row = Row.objects.get(farm=ground.farm, entry=entry)
    assert (row.outcome, row.code) == ("held", "carried")
    assert status.standings(ground.farm.id)[ground.fields[0]]["cover"] == []
    write(ground.farm.id, ground.owner.id, [Draft(Reading((entry,), "taken_as_is", True))], now())
    assert len(status.standings(ground.farm.id)[ground.fields[0]]["cover"]) == 1


def test_W19_a_forgotten_phones_file_is_held_under_its_number(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    stranger = HandPhone(UUID("01900000-0000-7000-9000-000000000001"), "lost", phone.by, list(phone.kept))
    carry = file_of(stranger, ground)
    with pytest.raises(CarryNeedsLeave):
        take(ground.farm.id, carry, now())
    assert take(ground.farm.id, carry, now(), leave=True).outcomes == {"held": 1}
    row = Phone.objects.get(id=stranger.id)
    assert (row.token_sha, row.stopped_at) == (None, now())


def test_W19_photos_come_along(phone: HandPhone, ground: Ground, now: Clock) -> None:
    phone.write()
    taken = take(ground.farm.id, file_of(phone, ground, photos=(JPEG, b"no picture")), now())
    assert (taken.photos, taken.photos_refused) == (1, 1)
    assert PhotoRow.objects.get().size == len(JPEG)


def test_W19_an_altered_foreign_or_cut_file_is_refused_whole(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    other = found("Second Bottom", now())
    theirs = HandPhone.join(other, now(), "their-nonce")
    theirs.kept = list(phone.kept)
    whole = file_of(phone, ground).getvalue()
    bad = [
        file_of(phone, ground, token="another"),
        file_of(phone, ground, farm=other.farm.id),
        file_of(theirs, ground),
        file_of(phone, ground, count=2),
        file_of(phone, ground, edition=2),
        file_of(phone, ground, lines_sha256="0" * 64),
        io.BytesIO(whole[:-40]),
        io.BytesIO(b"text"),
        io.BytesIO(b""),
    ]
    for one in bad:
        with pytest.raises(BadCarry):
            take(ground.farm.id, one, now(), leave=True)
    assert not Row.objects.filter(phone=phone.id).exists()


def test_the_command_take_says_what_became_of_the_file(
    phone: HandPhone, ground: Ground, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    phone.write()
    file = tmp_path / "monday.goodground"
    file.write_bytes(file_of(phone, ground).getvalue())
    assert run(["take", str(file), "--data", str(tmp_path)]) == 0
    assert capsys.readouterr().out == "1 kept; 0 photos, 0 not taken\n"
    assert run(["take", str(tmp_path / "none"), "--data", str(tmp_path)]) == 1
    assert "Nothing of it was kept" in capsys.readouterr().err
