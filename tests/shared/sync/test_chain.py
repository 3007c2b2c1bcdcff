"""W6, W11: the two chains, recomputed with nothing but hashlib."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta, timezone
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from shared.sync.chain import NO_HEAD, BookRow, first_chain, head_over, next_chain, next_head

FARM = UUID("01890a5d-ac96-774b-bcce-b302099a8057")
SHAS = st.lists(st.binary(min_size=32, max_size=32).map(bytes.hex), max_size=8)


def plain(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def test_W6_the_head_of_a_phone_that_wrote_nothing_is_64_zeros():
    assert head_over([]) == NO_HEAD == "0" * 64


@given(SHAS)
def test_W6_the_head_covers_the_hex_of_the_last_head_followed_by_the_hex_of_the_sha(shas):
    head = "0" * 64
    for sha in shas:
        head = plain(head + sha)
    assert head_over(shas) == head


@given(SHAS, SHAS)
def test_I4_a_head_taken_in_two_goes_is_the_head_taken_in_one(first, second):
    assert head_over(second, head_over(first)) == head_over(first + second)


def test_W6_two_lines_exchanged_have_another_head():
    a, b = "aa" * 32, "bb" * 32
    assert head_over([a, b]) != head_over([b, a])
    assert next_head(NO_HEAD, a) != next_head(NO_HEAD, b)


def test_W11_a_row_is_its_seven_parts_on_seven_lines_and_the_chain_covers_it():
    at = datetime(2026, 7, 2, 8, 0, 0, 5, tzinfo=timezone(timedelta(hours=-4)))
    row = BookRow(7, FARM, 3, "kept", None, at, "cd" * 32)
    assert row.text() == f"7\n{FARM}\n3\nkept\n-\n2026-07-02T12:00:00.000005Z\n" + "cd" * 32
    assert first_chain(FARM) == plain(str(FARM))
    assert next_chain(first_chain(FARM), row) == plain(plain(str(FARM)) + "\n" + row.text())


def test_W11_a_held_row_says_why():
    row = BookRow(8, FARM, 4, "held", "not_json", datetime(2026, 7, 2, tzinfo=UTC), "cd" * 32)
    assert row.text().split("\n")[3:5] == ["held", "not_json"]
