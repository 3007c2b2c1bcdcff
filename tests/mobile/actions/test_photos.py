"""Pictures: kept under their hash, sent after the entries, and never in an entry's way (W14, I15)."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
import requests

from mobile.actions.hand_in import hand_in
from mobile.actions.keep_photo import keep_photo, picture_type, take_photo
from mobile.actions.save_entry import NewEntry, Saved, save_entry
from mobile.actions.send_photos import WIFI_ONLY, photos_waiting, send_photos
from mobile.actions.sending import IDLE_S, Sending
from mobile.device.fake import FakeCamera
from mobile.ports import Phone
from mobile.storage import PhoneBook
from mobile.trouble import PhotoNotPicture, PhotoTooLarge
from shared.words.bodies.told import Note
from shared.words.entry import Photo
from tests.mobile.fake_server import Answer, FakeServer, problem
from tests.mobile.kit import Walked, cover, walked

Go = Callable[[], Answer]
JPEG = b"\xff\xd8\xff\xe0"


def picture(size: int = 600_000, salt: int = 0) -> bytes:
    return JPEG + bytes([salt]) * (size - len(JPEG))


class Way:
    """What lies on the way of pictures, told beforehand."""

    def __init__(self) -> None:
        self.steps: list[Callable[[Go], Answer]] = []

    def __call__(self, request: requests.PreparedRequest, go: Go) -> Answer:
        if "photos/" in (request.url or "") and self.steps:
            return self.steps.pop(0)(go)
        return go()


@pytest.fixture
def way() -> Way:
    return Way()


@pytest.fixture
def at_work(tmp_path: Path, way: Way) -> Walked:
    return walked(tmp_path, way)


def kept(phone: Phone, folder: Path, content: bytes) -> Photo:
    file = folder / "camera.jpg"
    file.write_bytes(content)
    return keep_photo(phone, file)


def noted(phone: Phone, at: int, *photos: Photo) -> Saved:
    return save_entry(phone, at, NewEntry(body=Note(text="see"), photos=photos))


def come(server: FakeServer) -> dict[str, bytes]:
    return server.state.photos.whole()


def states(phone: Phone, at: int) -> list[str]:
    return [one.state for one in phone.book.photos(at)]


def test_a_picture_is_kept_under_its_hash_and_the_entry_names_it(at_work: Walked, tmp_path: Path) -> None:
    phone, _, _, at = at_work
    photo = kept(phone, tmp_path, picture())
    assert photo == Photo(hashlib.sha256(picture()).hexdigest(), 600_000, "image/jpeg")
    assert noted(phone, at, photo).entry.photos == (photo,)
    assert phone.book.photo_file(photo.sha256).read_bytes() == picture()
    assert not (tmp_path / "camera.jpg").exists()
    assert states(phone, at) == ["waiting"]


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (JPEG + b"x", "image/jpeg"),
        (b"\x89PNG\r\n\x1a\nx", "image/png"),
        (b"RIFF1234WEBPx", "image/webp"),
        (b"RIFF1234WAVE", None),
        (b"hello, I am leaf.jpg", None),
        (b"GIF89a", None),
        (b"", None),
    ],
)
def test_a_picture_is_known_by_its_content_alone(content: bytes, kind: str | None) -> None:
    assert picture_type(content) == kind


def test_a_text_called_jpg_is_refused_and_left_where_it_is(at_work: Walked, tmp_path: Path) -> None:
    phone, _, _, _ = at_work
    with pytest.raises(PhotoNotPicture):
        kept(phone, tmp_path, b"dear diary")
    assert (tmp_path / "camera.jpg").exists()


@pytest.mark.parametrize(("size", "fits"), [(12 * 1_048_576, True), (12 * 1_048_576 + 1, False)])
def test_twelve_mib_are_the_most(at_work: Walked, tmp_path: Path, size: int, fits: bool) -> None:
    phone, _, _, _ = at_work
    if fits:
        assert kept(phone, tmp_path, picture(size)).bytes == size
    else:
        with pytest.raises(PhotoTooLarge):
            kept(phone, tmp_path, picture(size))


def test_the_camera_gives_a_photo_nothing_or_a_reason(at_work: Walked, tmp_path: Path) -> None:
    phone, _, _, _ = at_work
    got: list[tuple[Photo | None, Exception | None]] = []
    for sees in (picture(1_000), None, b"not a picture"):
        seeing = replace(phone, camera=FakeCamera(sees))
        take_photo(seeing, tmp_path / "taken.jpg", lambda photo, error: got.append((photo, error)))
    assert got[0][0].bytes == 1_000
    assert got[1] == (None, None)
    assert isinstance(got[2][1], PhotoNotPicture)


def test_pictures_go_in_pieces_and_arrive_whole(at_work: Walked, tmp_path: Path) -> None:
    phone, server, _, at = at_work
    content = picture(3_000_000)
    photo = kept(phone, tmp_path, content)
    noted(phone, at, photo)
    hand_in(phone, at)
    server.requests.clear()
    assert send_photos(phone, at).sent == 1
    assert come(server) == {photo.sha256: content}
    assert states(phone, at) == ["sent"]
    pieces = [one for one in server.requests if one.startswith("PATCH")]
    assert len(pieces) == 5
    assert send_photos(phone, at).sent == 0


def silence(go: Go) -> Answer:
    raise requests.ConnectionError


def lost(go: Go) -> Answer:
    go()
    raise requests.ReadTimeout


@pytest.mark.parametrize("cut_at", range(7))
@pytest.mark.parametrize("fault", [silence, lost])
def test_cut_off_at_any_request_it_goes_on_where_it_was(
    at_work: Walked, tmp_path: Path, way: Way, cut_at: int, fault: Callable[[Go], Answer]
) -> None:
    phone, server, _, at = at_work
    content = picture(3_000_000)
    photo = kept(phone, tmp_path, content)
    noted(phone, at, photo)
    way.steps = [lambda go: go()] * cut_at + [fault]
    assert send_photos(phone, at).heard == "no_answer"
    before = len(server.state.photos.come.get(photo.sha256, b""))
    server.requests.clear()
    assert send_photos(phone, at).sent == 1
    assert come(server) == {photo.sha256: content}
    again = sum(one.startswith("PATCH") for one in server.requests)
    assert again <= 5 - (before > 0)


def test_a_damaged_picture_is_marked_and_never_tried_again_and_the_entry_stands(
    at_work: Walked, tmp_path: Path
) -> None:
    phone, server, farm, at = at_work
    bad, good = kept(phone, tmp_path, picture(salt=1)), kept(phone, tmp_path, picture(salt=2))
    saved = noted(phone, at, bad, good)
    phone.book.photo_file(bad.sha256).write_bytes(picture(salt=3))
    assert send_photos(phone, at).sent == 1
    assert {one.photo: one.state for one in phone.book.photos(at)} == {bad: "damaged", good: "sent"}
    hand_in(phone, at)
    assert server.kept(farm) == [saved.entry.id]
    server.requests.clear()
    send_photos(phone, at)
    assert server.requests == []


def test_a_picture_that_is_gone_from_the_phone_is_damaged(at_work: Walked, tmp_path: Path) -> None:
    phone, _, _, at = at_work
    photo = kept(phone, tmp_path, picture())
    noted(phone, at, photo)
    phone.book.photo_file(photo.sha256).unlink()
    send_photos(phone, at)
    assert states(phone, at) == ["damaged"]


@pytest.mark.parametrize("answer", [problem(413, "photo_too_large"), problem(415, "not_a_picture")])
def test_a_picture_that_the_server_will_not_have_is_left_and_the_next_one_goes(
    at_work: Walked, tmp_path: Path, way: Way, answer: Answer
) -> None:
    phone, server, _, at = at_work
    first, second = kept(phone, tmp_path, picture(salt=1)), kept(phone, tmp_path, picture(salt=2))
    noted(phone, at, first, second)
    refused, other = (one.photo for one in phone.book.photos(at))
    way.steps = [lambda go: go(), lambda go: answer]
    assert send_photos(phone, at).sent == 1
    assert {one.photo: one.state for one in phone.book.photos(at)} == {refused: "refused", other: "sent"}
    assert set(come(server)) == {other.sha256}


def test_an_upload_that_the_server_let_go_begins_again(at_work: Walked, tmp_path: Path, way: Way) -> None:
    phone, server, _, at = at_work
    content = picture(2_000_000)
    photo = kept(phone, tmp_path, content)
    noted(phone, at, photo)

    def altered(go: Go) -> Answer:
        server.state.photos.come[photo.sha256] = b"x" * len(server.state.photos.come[photo.sha256])
        return go()

    way.steps = [lambda go: go()] * 3 + [altered]
    assert send_photos(phone, at).sent == 1
    assert come(server) == {photo.sha256: content}


def test_the_same_picture_in_two_entries_is_sent_once(at_work: Walked, tmp_path: Path) -> None:
    phone, server, _, at = at_work
    photo = kept(phone, tmp_path, picture())
    noted(phone, at, photo)
    noted(phone, at, kept(phone, tmp_path, picture()))
    assert send_photos(phone, at).sent == 1
    assert len(come(server)) == 1


def test_i15_entries_go_as_fast_with_a_hundred_pictures_waiting(at_work: Walked, tmp_path: Path) -> None:
    phone, server, farm, at = at_work
    for salt in range(100):
        noted(phone, at, kept(phone, tmp_path, picture(2_000, salt)))
    server.requests.clear()
    assert hand_in(phone, at).is_whole
    assert len(server.kept(farm)) == 100
    assert server.requests == ["POST entries/", "GET changes/"]
    assert len(photos_waiting(phone, at)) == 100


def test_pictures_wait_until_the_entries_are_through(at_work: Walked, tmp_path: Path) -> None:
    phone, server, _, at = at_work
    noted(phone, at, kept(phone, tmp_path, picture()))
    sending = Sending(phone)
    sending.step_pictures()
    assert come(server) == {}
    sending.step()
    assert sending.step_pictures() == IDLE_S
    assert len(come(server)) == 1


def test_where_asked_pictures_wait_for_wifi_and_entries_do_not(at_work: Walked, tmp_path: Path) -> None:
    phone, server, farm, at = at_work
    noted(phone, at, kept(phone, tmp_path, picture()))
    phone.book.keep_setting(WIFI_ONLY, "yes")
    phone.connectivity.metered = True
    assert send_photos(phone, at).code == "wifi_only"
    assert hand_in(phone, at).is_whole
    assert (len(server.kept(farm)), come(server)) == (1, {})
    phone.connectivity.metered = False
    assert send_photos(phone, at).sent == 1


def test_a_restored_server_gets_its_pictures_again(at_work: Walked, tmp_path: Path) -> None:
    phone, server, _, at = at_work
    backup = server.backup()
    noted(phone, at, kept(phone, tmp_path, picture()))
    hand_in(phone, at)
    send_photos(phone, at)
    server.restore(backup)
    assert come(server) == {}
    assert hand_in(phone, at).is_whole
    assert send_photos(phone, at).sent == 1
    assert len(come(server)) == 1


def test_w10_a_picture_is_dropped_with_the_entry_that_names_it_and_not_before(
    at_work: Walked, tmp_path: Path
) -> None:
    phone, server, _, at = at_work
    photo = kept(phone, tmp_path, picture())
    noted(phone, at, photo)
    hand_in(phone, at)
    send_photos(phone, at)
    cover(phone, at)
    server.backup()
    hand_in(phone, at)
    server.backup()
    phone.clock.jump(timedelta(days=401))
    cover(phone, at)
    hand_in(phone, at)
    assert phone.book.photos(at) == ()
    file = phone.book.photo_file(photo.sha256)
    os.utime(file, (0, 0))
    phone.book.close()
    PhoneBook(tmp_path / "phone.sqlite").close()
    assert not file.exists()


def test_a_picture_just_taken_and_not_yet_saved_survives_a_restart(at_work: Walked, tmp_path: Path) -> None:
    phone, _, _, at = at_work
    photo = kept(phone, tmp_path, picture())
    phone.book.close()
    again = replace(phone, book=PhoneBook(tmp_path / "phone.sqlite"))
    noted(again, at, photo)
    assert send_photos(again, at).sent == 1
