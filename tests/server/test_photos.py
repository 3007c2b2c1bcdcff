"""Photos by tus: piece by piece, whole or not at all, and never in the way of entries."""

from __future__ import annotations

import base64
import gzip
import hashlib
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from server.config.place import Place
from server.keeping import photos as keeping
from server.photos import store
from server.photos.models import Photo, Upload
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, found, outcomes

pytestmark = pytest.mark.django_db
JPEG = b"\xff\xd8\xff\xe0" + bytes(range(256)) * 3_000
PIECE = 256 * 1024


@pytest.fixture(autouse=True)
def place(settings: Any, tmp_path: Path) -> Place:
    settings.PLACE = Place(tmp_path)
    return settings.PLACE


def sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def said(data: bytes) -> str:
    return "sha256 " + base64.b64encode(hashlib.sha256(data).digest()).decode()


def announce(phone: HandPhone, data: bytes, size: int | None = None, **headers: str) -> Any:
    meta = "sha256 " + base64.b64encode(sha(data).encode()).decode() + ",filetype aW1hZ2UvanBlZw=="
    told = phone.auth | {
        "Tus-Resumable": "1.0.0",
        "Upload-Length": str(len(data) if size is None else size),
        "Upload-Metadata": meta,
    }
    return phone.client.post("/api/v1/photos/", headers=told | headers)


def offset(phone: HandPhone, data: bytes) -> int:
    answer = phone.client.head(
        f"/api/v1/photos/{sha(data)}/", headers=phone.auth | {"Tus-Resumable": "1.0.0"}
    )
    assert answer.status_code == 200
    return int(answer.headers["Upload-Offset"])


def patch(phone: HandPhone, data: bytes, start: int, piece: bytes, **headers: str) -> Any:
    told = phone.auth | {"Tus-Resumable": "1.0.0", "Upload-Offset": str(start)}
    return phone.client.patch(
        f"/api/v1/photos/{sha(data)}/",
        piece,
        content_type="application/offset+octet-stream",
        headers=told | headers,
    )


def send(phone: HandPhone, data: bytes) -> Any:
    answer = announce(phone, data)
    while answer.status_code in (201, 204) and int(answer.headers["Upload-Offset"]) < len(data):
        start = int(answer.headers["Upload-Offset"])
        piece = data[start : start + PIECE]
        answer = patch(phone, data, start, piece, **{"Upload-Checksum": said(piece)})
    return answer


def problem(answer: Any) -> tuple[int, str]:
    assert answer.headers["Content-Type"].startswith("application/problem+json")
    return answer.status_code, answer.json()["code"]


def test_W14_a_photo_comes_in_pieces_and_stands_in_its_place_whole(phone: HandPhone, ground: Ground) -> None:
    assert send(phone, JPEG).status_code == 204
    assert store.path(ground.farm.id, sha(JPEG)).read_bytes() == JPEG
    photo = Photo.objects.get()
    assert (photo.sha256, photo.size, photo.type) == (sha(JPEG), len(JPEG), "image/jpeg")
    assert not Upload.objects.exists()
    assert not store.part(ground.farm.id, sha(JPEG)).exists()
    answer = phone.client.get(f"/api/v1/photos/{sha(JPEG)}/", headers=phone.auth)
    assert (b"".join(answer.streaming_content), answer.headers["Content-Type"]) == (JPEG, "image/jpeg")


def test_W14_a_photo_cut_at_any_piece_goes_on_from_there(phone: HandPhone, ground: Ground) -> None:
    location = announce(phone, JPEG)
    assert location.status_code == 201
    assert location.headers["Location"].endswith(f"/api/v1/photos/{sha(JPEG)}/")
    start = 0
    for length in (1, 1000, PIECE, 3, len(JPEG) - 1004 - PIECE):
        store.write(ground.farm.id, sha(JPEG), start, JPEG[start : start + length // 2])
        assert offset(phone, JPEG) == start
        assert patch(phone, JPEG, start, JPEG[start : start + length]).status_code == 204
        start += length
    assert offset(phone, JPEG) == len(JPEG)
    assert Photo.objects.get().sha256 == sha(JPEG)


def test_W14_a_file_longer_than_what_was_acknowledged_is_written_over(
    phone: HandPhone, ground: Ground
) -> None:
    announce(phone, JPEG)
    store.write(ground.farm.id, sha(JPEG), 0, b"written, and the answer never came" * 100)
    assert send(phone, JPEG).status_code == 204


def test_W14_a_piece_that_does_not_fit_on_is_409_and_says_where(phone: HandPhone, ground: Ground) -> None:
    announce(phone, JPEG)
    answer = patch(phone, JPEG, 5, JPEG[5:100])
    assert problem(answer) == (409, "wrong_offset")
    assert answer.headers["Upload-Offset"] == "0"


def test_W14_an_altered_piece_is_not_taken(phone: HandPhone, ground: Ground) -> None:
    announce(phone, JPEG)
    answer = patch(phone, JPEG, 0, JPEG[:PIECE], **{"Upload-Checksum": said(b"other")})
    assert problem(answer) == (460, "wrong_hash")
    assert offset(phone, JPEG) == 0


def test_W14_a_whole_with_the_wrong_hash_goes_and_the_entry_stays(phone: HandPhone, ground: Ground) -> None:
    photo = {"sha256": sha(JPEG), "bytes": len(JPEG), "type": "image/jpeg"}
    phone.write(photos=[photo], field=ground.fields[0])
    assert outcomes(phone.push()) == ["kept"]
    altered = JPEG[:-1] + b"x"
    announce(phone, JPEG)
    for start in range(0, len(altered), PIECE):
        answer = patch(phone, JPEG, start, altered[start : start + PIECE])
    assert problem(answer) == (460, "wrong_hash")
    assert not Upload.objects.exists()
    assert not store.part(ground.farm.id, sha(JPEG)).exists()
    assert send(phone, JPEG).status_code == 204


@pytest.mark.parametrize(
    "data", [b"just text, named .jpg", b"GIF89a" + b"x" * 100, b"%PDF-1.7" + b"x" * 50, b"RIFF1234WAVE1234"]
)
def test_W14_what_is_no_jpeg_png_or_webp_by_content_is_not_kept(phone: HandPhone, data: bytes) -> None:
    assert problem(send(phone, data)) == (415, "not_a_picture")
    assert not Photo.objects.exists()


def test_W14_a_gzip_bomb_is_neither_inflated_nor_kept_and_entries_go_on(phone: HandPhone) -> None:
    bomb = gzip.compress(bytes(64 * 1024 * 1024))
    announce(phone, bomb)
    assert problem(patch(phone, bomb, 0, bomb, **{"Content-Encoding": "gzip"})) == (400, "bad_upload")
    assert offset(phone, bomb) == 0
    assert problem(send(phone, bomb)) == (415, "not_a_picture")
    packed = gzip.compress(JPEG)
    announce(phone, JPEG)
    assert problem(patch(phone, JPEG, 0, packed, **{"Content-Encoding": "gzip"})) == (400, "bad_upload")
    assert not Photo.objects.exists()
    phone.write()
    assert outcomes(phone.push()) == ["kept"]


@pytest.mark.parametrize("data", [b"\x89PNG\r\n\x1a\n" + b"x" * 100, b"RIFF1234WEBPVP8 " + b"x" * 100])
def test_W14_png_and_webp_are_kept(phone: HandPhone, data: bytes) -> None:
    assert send(phone, data).status_code == 204
    assert Photo.objects.get().type in ("image/png", "image/webp")


def test_W14_a_photo_over_12_mib_and_a_piece_over_1_mib_are_413(phone: HandPhone) -> None:
    assert problem(announce(phone, JPEG, 13 * 1024 * 1024)) == (413, "photo_too_large")
    assert problem(announce(phone, JPEG, 0)) == (413, "photo_too_large")
    big = b"\xff\xd8\xff" + b"x" * 3_000_000
    announce(phone, big)
    assert problem(patch(phone, big, 0, big[: 1024 * 1024 + 1])) == (413, "photo_too_large")
    announce(phone, JPEG, 100)
    assert problem(patch(phone, JPEG, 0, JPEG[:101])) == (413, "photo_too_large")


def test_W14_a_phone_has_a_quota(phone: HandPhone, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("server.photos.writes.MOST_A_PHONE_BYTES", len(JPEG) + 10)
    assert send(phone, JPEG).status_code == 204
    assert problem(announce(phone, b"\xff\xd8\xff another")) == (413, "photo_quota")
    assert announce(phone, JPEG).status_code == 201


def test_W14_the_same_photo_from_two_phones_is_one(phone: HandPhone, ground: Ground, now: Clock) -> None:
    other = HandPhone.join(ground, now(), "another-nonce")
    announce(phone, JPEG)
    patch(phone, JPEG, 0, JPEG[:PIECE])
    assert announce(other, JPEG).headers["Upload-Offset"] == str(PIECE)
    assert send(other, JPEG).status_code == 204
    assert problem(patch(phone, JPEG, PIECE, JPEG[PIECE : 2 * PIECE])) == (409, "wrong_offset")
    assert offset(phone, JPEG) == len(JPEG)
    assert Photo.objects.count() == 1


def test_W14_an_upload_that_is_ended_leaves_nothing_and_a_whole_photo_stays(
    phone: HandPhone, ground: Ground
) -> None:
    announce(phone, JPEG)
    patch(phone, JPEG, 0, JPEG[:PIECE])
    where = f"/api/v1/photos/{sha(JPEG)}/"
    told = phone.auth | {"Tus-Resumable": "1.0.0"}
    assert phone.client.delete(where, headers=told).status_code == 204
    assert phone.client.head(where, headers=told).status_code == 404
    send(phone, JPEG)
    assert phone.client.delete(where, headers=told).status_code == 204
    assert offset(phone, JPEG) == len(JPEG)


def test_W14_another_version_of_tus_is_412_and_what_is_offered_is_told(phone: HandPhone) -> None:
    answer = announce(phone, JPEG, **{"Tus-Resumable": "0.2.2"})
    assert problem(answer) == (412, "wrong_tus")
    assert answer.headers["Tus-Version"] == "1.0.0"
    about = phone.client.options("/api/v1/photos/", headers=phone.auth)
    assert about.status_code == 204
    assert about.headers["Tus-Extension"] == "creation,checksum,termination"


@pytest.mark.parametrize(
    "headers",
    [
        {"Upload-Length": "x"},
        {"Upload-Length": "-1"},
        {"Upload-Metadata": "sha256 not-base64!"},
        {"Upload-Metadata": "sha256 " + base64.b64encode(b"../../etc/passwd").decode()},
        {"Upload-Metadata": ""},
    ],
)
def test_W14_an_announcement_that_says_nonsense_is_400(phone: HandPhone, headers: dict[str, str]) -> None:
    assert problem(announce(phone, JPEG, **headers)) == (400, "bad_upload")


def test_I16_a_photo_of_another_farm_is_not_to_be_had(phone: HandPhone, ground: Ground, now: Clock) -> None:
    send(phone, JPEG)
    theirs = HandPhone.join(found("Second Bottom", now()), now(), "their-nonce")
    assert problem(theirs.client.get(f"/api/v1/photos/{sha(JPEG)}/", headers=theirs.auth)) == (
        404,
        "photo_unknown",
    )
    assert announce(theirs, JPEG).headers["Upload-Offset"] == "0"


def test_W15_a_photo_is_on_its_way_and_after_seven_days_late(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    photo = {"sha256": sha(JPEG), "bytes": len(JPEG), "type": "image/jpeg"}
    tree = phone.write(photos=[photo])
    phone.push()
    entry = UUID(tree["id"])
    assert keeping.of_entries(ground.farm.id, [entry]) == {entry: [(sha(JPEG), False)]}
    now.forward(days=6, hours=23)
    assert keeping.late(ground.farm.id, now()) == []
    now.forward(hours=1)
    assert [one.entry for one in keeping.late(ground.farm.id, now())] == [entry]
    send(phone, JPEG)
    assert keeping.late(ground.farm.id, now()) == []
    assert keeping.of_entries(ground.farm.id, [entry]) == {entry: [(sha(JPEG), True)]}


def test_W14_a_photo_that_no_entry_names_is_listed_after_thirty_days_and_stays(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    send(phone, JPEG)
    now.forward(days=29)
    assert keeping.unnamed(ground.farm.id, now()) == []
    now.forward(days=1)
    assert [one.sha256 for one in keeping.unnamed(ground.farm.id, now())] == [sha(JPEG)]
    assert store.path(ground.farm.id, sha(JPEG)).exists()
