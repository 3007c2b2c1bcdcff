"""The phone's own actions against the real server, as people start it: the same things as against the fake one."""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest

from mobile.actions.choose_person import choose_person, people
from mobile.actions.enrol_again import enrol_again
from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_slip
from mobile.actions.keep_photo import keep_photo
from mobile.actions.roll_token import roll_when_old
from mobile.actions.save_entry import NewEntry, save_entries, save_entry
from mobile.actions.send_photos import send_photos
from mobile.device.chance import SystemChance
from mobile.device.clock import SystemClock
from mobile.ports import Phone
from mobile.storage import PhoneBook
from mobile.transport.http_server import HttpServer
from mobile.trouble import JoinRefused
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover
from tests.mobile.fake_server import FakeServer
from tests.mobile.kit import a_phone, cover
from tests.server.serving import command, serving


@dataclass(frozen=True)
class Served:
    """A server with one farm, and the storage of a phone that has joined it by a slip."""

    address: str
    used_code: str
    joined: Path

    def newly(self, phone: Phone, file: Path) -> tuple[Phone, int]:
        """Another phone of the farm, with lines of its own."""
        shutil.copy(self.joined, file)
        made = replace(phone, book=PhoneBook(file))
        at = made.book.enrolments()[0].id
        assert enrol_again(made, at).value is not None
        return made, at


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    data = tmp_path_factory.mktemp("served")
    command(data, "new-farm", "Fallow Rise", "--zone", "America/New_York")
    code = command(data, "code", "--farm", "Fallow Rise").strip()
    with serving(data) as (host, port):
        address = f"http://{host}:{port}"
        first = replace(a_phone(data, FakeServer(), name="first"), server=HttpServer("0.1.0"))
        joined(first, address, code)
        first.book.close()
        first.server.close()
        yield Served(address, code, data / "first.sqlite")


@pytest.fixture
def http() -> Iterator[HttpServer]:
    made = HttpServer("0.1.0")
    yield made
    made.close()


@pytest.fixture
def plain(tmp_path: Path, http: HttpServer) -> Phone:
    """A phone that is in no farm."""
    return replace(
        a_phone(tmp_path, FakeServer(), name="plain"), server=http, clock=SystemClock(), chance=SystemChance()
    )


@pytest.fixture
def enrolled(plain: Phone, served: Served, tmp_path: Path) -> tuple[Phone, int]:
    return served.newly(plain, tmp_path / "phone.sqlite")


def joined(phone: Phone, address: str, code: str) -> int:
    at = join(phone, read_slip(code, address)).id
    choose_person(phone, at, people(phone, at)[0].id)
    return at


def states(phone: Phone, at: int) -> list[str]:
    return [one.state for one in phone.book.written(at)[::-1]]


def test_a_phone_hands_in_and_fetches(enrolled: tuple[Phone, int]) -> None:
    phone, at = enrolled
    for _ in range(12):
        cover(phone, at)
    done = hand_in(phone, at)
    assert (done.is_whole, done.sent, done.code) == (True, 12, None)
    lines = phone.book.written(at)[::-1]
    numbers = [one.number for one in lines]
    assert states(phone, at) == ["kept"] * 12
    assert numbers == list(range(numbers[0], numbers[0] + 12))
    assert len(phone.book.rows(at, "people")) == 1
    assert abs(phone.book.enrolment(at).skew_ms) < 60_000
    assert hand_in(phone, at).is_whole
    assert phone.book.unpulled(at) == ()


def test_a_slip_is_good_once_and_each_refusal_has_a_name(plain: Phone, served: Served) -> None:
    for wrong, why in ((served.used_code, "code_used"), ("2345678923", "code_unknown")):
        with pytest.raises(JoinRefused) as raised:
            join(plain, read_slip(wrong, served.address))
        assert raised.value.why == why
    assert plain.book.enrolments() == ()


def test_i7_an_entry_by_a_stranger_is_held_and_changes_no_others_outcome(enrolled: tuple[Phone, int]) -> None:
    phone, at = enrolled
    cover(phone, at)
    save_entry(phone, at, NewEntry(body=Note(text="who am I"), by=UUID(int=4)))
    cover(phone, at)
    assert hand_in(phone, at).is_whole
    assert states(phone, at) == ["kept", "held", "kept"]
    (held,) = phone.book.needing_hand(at)
    assert held.code == "unknown_person"
    (verdict,) = phone.book.values(at, "verdicts")
    assert (verdict.id, verdict.mark, verdict.number) == (held.id, "held", held.number)


def test_w8_w4b_a_copied_phone_enrols_again_and_all_of_both_is_kept(
    enrolled: tuple[Phone, int], tmp_path: Path
) -> None:
    phone, at = enrolled
    cover(phone, at)
    phone.book.disk.one("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copy(tmp_path / "phone.sqlite", tmp_path / "copy.sqlite")
    copied = replace(phone, book=PhoneBook(tmp_path / "copy.sqlite"))
    mine, theirs = cover(phone, at), cover(copied, at)
    assert hand_in(phone, at).is_whole
    assert hand_in(copied, at).is_whole
    assert states(phone, at) == states(copied, at) == ["kept", "kept"]
    assert phone.book.enrolment(at).phone != copied.book.enrolment(at).phone
    numbers = {phone.book.own(at, mine.entry.id).number, copied.book.own(at, theirs.entry.id).number}
    assert len(numbers) == 2
    assert hand_in(phone, at).is_whole


def test_w4_a_rolled_token_takes_over_when_it_is_first_used(enrolled: tuple[Phone, int]) -> None:
    phone, at = enrolled
    old = phone.book.enrolment(at).link
    phone.book.disk.write(lambda one: one.execute("UPDATE enrolments SET rolled_at = '2020-01-01T00:00:00Z'"))
    assert roll_when_old(phone, at)
    cover(phone, at)
    assert hand_in(phone, at).is_whole
    assert phone.book.enrolment(at).link.token != old.token
    assert phone.server.changes(old, "", 10).heard == "token_unknown"


def test_w13_a_cursor_of_another_era_fetches_anew(enrolled: tuple[Phone, int]) -> None:
    phone, at = enrolled
    assert hand_in(phone, at).is_whole
    phone.book.disk.write(lambda one: one.execute("UPDATE enrolments SET cursor = 'nonsense'"))
    assert hand_in(phone, at).is_whole
    assert len(phone.book.rows(at, "people")) == 1


def test_i8_a_thousand_entries_go_in_two_pushes(enrolled: tuple[Phone, int]) -> None:
    phone, at = enrolled
    assert hand_in(phone, at).is_whole
    body = Cover(cover="rye", height_in=Decimal(31), heads="none")
    save_entries(phone, at, [NewEntry(body=body) for _ in range(1_000)])
    done = hand_in(phone, at)
    assert (done.is_whole, done.sent) == (True, 1_000)
    assert set(states(phone, at)) == {"kept"}


def test_w14_a_picture_goes_in_pieces_and_is_whole(enrolled: tuple[Phone, int], tmp_path: Path) -> None:
    phone, at = enrolled
    file = tmp_path / "camera.jpg"
    file.write_bytes(b"\xff\xd8\xff\xe0" + secrets.token_bytes(2_000_000))
    photo = keep_photo(phone, file)
    save_entry(phone, at, NewEntry(body=Note(text="glass"), photos=(photo,)))
    assert hand_in(phone, at).is_whole
    assert send_photos(phone, at).sent == 1
    link = phone.book.enrolment(at).link
    assert phone.server.photo_offset(link, photo.sha256).value == photo.bytes
    assert phone.server.photo_offset(link, "0" * 64).value is None
    assert [one.state for one in phone.book.photos(at)] == ["sent"]
