"""The carry file: what waits, exactly, sealed, as often as wanted."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from mobile.actions.carry_file import carry_file
from mobile.actions.hand_in import hand_in
from mobile.actions.keep_photo import keep_photo
from mobile.actions.save_entry import NewEntry, save_entry
from mobile.trouble import DiskFailed, NothingWaits
from shared.sync.chain import head_over
from shared.wire.carry import photos_in, read_carry, read_photo
from shared.wire.lines import sha
from shared.words.bodies.told import Note
from tests.mobile.kit import cover, walked

JPEG = b"\xff\xd8\xff\xe0 a picture"


def test_w19_it_holds_exactly_what_waits_and_the_phones_token_sealed_it(tmp_path: Path) -> None:
    phone, _, farm, at = walked(tmp_path)
    sent = [cover(phone, at) for _ in range(2)]
    hand_in(phone, at)
    waiting = [cover(phone, at) for _ in range(3)]
    told = carry_file(phone, at, tmp_path)
    assert (told.first, told.count) == (3, 3)
    assert told.file.name == "phone-2026-05-12-3-to-5.goodground"
    with told.file.open("rb") as file:
        read = read_carry(file)
    who = phone.book.enrolment(at)
    assert read.lines == tuple(phone.book.own(at, one.entry.id).raw for one in waiting)
    assert (read.carried.farm, read.carried.phone) == (farm.id, who.phone)
    assert read.carried.prev == head_over(one.sha for one in sent)
    assert read.is_sealed_by(hashlib.sha256(who.link.token.encode()).hexdigest())
    assert [sha(one) for one in read.lines] == [one.sha for one in waiting]


def test_writing_it_hands_nothing_in_and_it_can_be_written_again(tmp_path: Path) -> None:
    phone, server, farm, at = walked(tmp_path)
    saved = [cover(phone, at).entry.id for _ in range(3)]
    first = carry_file(phone, at, tmp_path).file.read_bytes()
    assert carry_file(phone, at, tmp_path).file.read_bytes() == first
    assert phone.book.enrolment(at).waiting == 3
    hand_in(phone, at)
    assert server.kept(farm) == saved


def test_waiting_pictures_travel_with_it_and_damaged_ones_do_not(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    photos = []
    for salt in (b"1", b"2"):
        (tmp_path / "camera.jpg").write_bytes(JPEG + salt)
        photos.append(keep_photo(phone, tmp_path / "camera.jpg"))
    save_entry(phone, at, NewEntry(body=Note(text="glass"), photos=tuple(photos)))
    phone.book.photo_file(photos[1].sha256).write_bytes(b"rot")
    told = carry_file(phone, at, tmp_path)
    assert told.photos == 1
    with told.file.open("rb") as file:
        assert read_carry(file).carried.photos == (photos[0],)
        assert photos_in(file) == (photos[0].sha256,)
        assert read_photo(file, photos[0].sha256) == JPEG + b"1"


def test_a_stopped_phone_writes_one_too(tmp_path: Path) -> None:
    phone, server, _, at = walked(tmp_path)
    server.state.phones[phone.book.enrolment(at).phone].stopped = True
    cover(phone, at)
    hand_in(phone, at)
    assert carry_file(phone, at, tmp_path).count == 1


def test_where_all_is_handed_in_there_is_nothing_to_carry(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    cover(phone, at)
    hand_in(phone, at)
    with pytest.raises(NothingWaits):
        carry_file(phone, at, tmp_path)


def test_a_folder_that_can_not_be_written_is_said_so_and_no_half_file_left(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    cover(phone, at)
    with pytest.raises(DiskFailed):
        carry_file(phone, at, tmp_path / "not here")
    assert list(tmp_path.glob("*.part")) == []
