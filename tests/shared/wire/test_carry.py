"""The carry file: what it holds, and that no damage or alteration passes (W19)."""

from __future__ import annotations

import hashlib
import hmac
import io
import zipfile
from dataclasses import replace
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import BadCarry
from shared.sync.chain import NO_HEAD
from shared.wire.carry import (
    Carried,
    lines_digest,
    photos_in,
    read_carry,
    read_photo,
    seal_of,
    write_carry,
)
from shared.wire.scalars import moment
from shared.words.entry import Photo

TOKEN = hashlib.sha256(b"token").hexdigest()
PICTURE = b"\xff\xd8a picture"
PHOTO = Photo(hashlib.sha256(PICTURE).hexdigest(), len(PICTURE), "image/jpeg")
RAWS = (b'{"n":1}', b'{"n":2,"text":"\xc3\xb1"}')


def carried(raws: tuple[bytes, ...] = RAWS) -> Carried:
    at = moment("2026-05-12T07:30:00-04:00", "")
    return Carried(1, UUID(int=1), UUID(int=2), 4, NO_HEAD, len(raws), lines_digest(raws), at, (PHOTO,))


def a_file(raws: tuple[bytes, ...] = RAWS, told: Carried | None = None) -> io.BytesIO:
    out = io.BytesIO()
    write_carry(out, told or carried(raws), raws, [(PHOTO.sha256, io.BytesIO(PICTURE))], TOKEN)
    return out


def test_what_was_carried_comes_out_exactly() -> None:
    file = a_file()
    read = read_carry(file)
    assert (read.carried, read.lines) == (carried(), RAWS)
    assert read.is_sealed_by(TOKEN)
    assert photos_in(file) == (PHOTO.sha256,)
    assert read_photo(file, PHOTO.sha256) == PICTURE


def test_the_same_content_makes_the_same_file() -> None:
    assert a_file().getvalue() == a_file().getvalue()


def test_the_seal_is_an_hmac_keyed_with_the_digest_of_the_token() -> None:
    manifest = zipfile.ZipFile(a_file()).read("carry.json")
    key = hashlib.sha256(b"token").digest()
    assert seal_of(manifest, TOKEN) == hmac.new(key, manifest, hashlib.sha256).hexdigest()


def test_another_phones_token_did_not_seal_it() -> None:
    assert not read_carry(a_file()).is_sealed_by(hashlib.sha256(b"other").hexdigest())


def rezipped(**changed: bytes | None) -> io.BytesIO:
    old = zipfile.ZipFile(a_file())
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for name in old.namelist():
            key = name.replace(".", "_")
            content = changed.get(key, old.read(name))
            if content is not None:
                packed.writestr(name, content)
    return out


def test_altered_lines_do_not_pass() -> None:
    with pytest.raises(BadCarry, match="lines are not those"):
        read_carry(rezipped(lines_ndjson=b'{"n":1}\n{"n":3,"text":"\xc3\xb1"}\n'))


def test_an_altered_manifest_breaks_the_seal() -> None:
    manifest = zipfile.ZipFile(a_file()).read("carry.json").replace(b'"first":4', b'"first":5')
    assert not read_carry(rezipped(carry_json=manifest)).is_sealed_by(TOKEN)


@pytest.mark.parametrize("missing", ["carry_json", "lines_ndjson", "seal"])
def test_a_file_with_a_part_missing_says_which(missing: str) -> None:
    with pytest.raises(BadCarry, match="is missing"):
        read_carry(rezipped(**{missing: None}))


@pytest.mark.parametrize("count", [1, 3])
def test_more_or_fewer_lines_than_promised_do_not_pass(count: int) -> None:
    with pytest.raises(BadCarry, match="were promised"):
        read_carry(a_file(told=replace(carried(), count=count)))


def test_a_newer_edition_asks_for_a_newer_server() -> None:
    with pytest.raises(BadCarry, match="edition 2"):
        read_carry(a_file(told=replace(carried(), edition=2)))


def test_a_damaged_photo_is_noticed_and_the_lines_still_come() -> None:
    out = io.BytesIO()
    write_carry(out, carried(), RAWS, [(PHOTO.sha256, io.BytesIO(b"other"))], TOKEN)
    with pytest.raises(BadCarry, match="damaged"):
        read_photo(out, PHOTO.sha256)
    assert read_carry(out).lines == RAWS


def test_a_bomb_is_not_unpacked() -> None:
    with pytest.raises(BadCarry, match="larger"):
        read_carry(rezipped(seal=b"0" * 65))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("carry.json", b" " * (4 * 1_048_576 + 1))
    with pytest.raises(BadCarry, match="larger"):
        read_carry(out)


def test_a_bomb_that_lies_about_its_size_is_unpacked_no_further_than_it_says() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("carry.json", b" " * 50_000_000)
    lying = bytearray(out.getvalue())
    size = (50_000_000).to_bytes(4, "little")
    for place in (lying.find(size), lying.rfind(size)):
        lying[place : place + 4] = (10).to_bytes(4, "little")
    with pytest.raises(BadCarry, match="damaged"):
        read_carry(io.BytesIO(bytes(lying)))


def test_no_lines_at_all_is_a_carry_file_too() -> None:
    assert read_carry(a_file((), carried(()))).lines == ()


@given(st.binary(max_size=300))
def test_whatever_bytes_come_it_is_bad_and_nothing_breaks(content: bytes) -> None:
    with pytest.raises(BadCarry):
        read_carry(io.BytesIO(content))


@given(st.integers(min_value=0), st.integers(0, 7))
def test_any_bit_turned_over_is_noticed_or_changes_nothing(place: int, bit: int) -> None:
    whole = bytearray(a_file().getvalue())
    whole[place % len(whole)] ^= 1 << bit
    try:
        read = read_carry(io.BytesIO(bytes(whole)))
    except BadCarry:
        return
    assert (read.carried, read.lines) == (carried(), RAWS) or not read.is_sealed_by(TOKEN)
