"""W20, I14: any line altered, dropped, exchanged or put in is named, the first one every time."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shared.proof.check import as_text, check
from shared.sync import merkle
from shared.sync.chain import BookRow, arrival_text, first_chain, next_chain
from shared.wire import lines
from shared.wire.book import BeforeLine, BookLine, EndLine, book_line_bytes
from shared.words.moment import Moment

ROOT = Path(__file__).resolve().parents[3]
sys.path.insert(0, str(Path(__file__).parents[1] / "wire"))
from samples import A, B, C, envelope, line  # noqa: E402

FARM = UUID(A)
PHONE = UUID(B)
START = datetime(2026, 7, 2, 12, 0, tzinfo=UTC)


def book(count: int = 9, seal_at: int | None = 6, first: int = 1) -> list[bytes]:
    """An exported book made with nothing of the server's: notes, one held line, one seal."""
    chain, out, texts, seals = first_chain(FARM), [], {}, []
    for number in range(1, count + 1):
        raw = line(
            envelope("note", id=f"01890a5d-ac96-774b-bcce-{number:012x}", body={"text": f"note {number}"})
        )
        outcome, code = "kept", None
        if number == 3:
            raw, outcome, code = b"\xff not an entry", "held", "not_utf8"
        if number == seal_at:
            root = merkle.root([texts[n].encode() for n in range(1, number)])
            body = {"first": 1, "last": number - 1, "root": root, "before": None}
            raw = line(envelope("seal", id=f"01890a5d-ac96-774b-bcce-{number:012x}", body=body))
            seals.append(number)
        at = START + timedelta(minutes=number)
        row = BookRow(number, PHONE, number, outcome, code, at, lines.sha(raw))
        texts[number], chain = row.text(), next_chain(chain, row)
        text, b64 = as_text(raw)
        told = BookLine(
            number, chain, PHONE, number, outcome, code, Moment(arrival_text(at), at), row.sha, text, b64
        )
        if number == first - 1:
            out = [book_line_bytes(BeforeLine(number, chain))]
        elif number >= first:
            out.append(book_line_bytes(told))
    out.append(book_line_bytes(EndLine(count, chain, tuple(s for s in seals if s >= first), FARM)))
    return out


def test_W20_a_whole_book_is_whole():
    report = check(book())
    assert report.fault is None
    assert (report.rows, report.first, report.last) == (9, 1, 9)
    assert [(seal.number, seal.first, seal.last, seal.whole) for seal in report.seals] == [(6, 1, 5, True)]
    assert check(book(), FARM).fault is None


def test_W20_a_part_of_a_book_is_checked_from_the_chain_before_it():
    report = check(book(first=4))
    assert report.fault is None
    assert (report.first, report.rows, report.seals[0].whole) == (4, 6, False)


def test_W20_an_empty_book_is_whole():
    assert check([book_line_bytes(EndLine(0, first_chain(FARM), (), FARM))]).fault is None


@given(st.integers(0, 8))
def test_I14_any_line_that_is_dropped_is_named_the_last_included(place):
    lines_of_it = book()
    del lines_of_it[place]
    fault = check(lines_of_it).fault
    assert fault is not None
    assert (fault.what, fault.number) == ("missing", place + 1)


def test_I14_the_end_that_is_dropped_is_named():
    fault = check(book()[:-1]).fault
    assert fault is not None
    assert (fault.what, fault.number) == ("end_missing", 10)


@given(st.integers(0, 8), st.integers(0, 8))
def test_I14_two_lines_exchanged_are_named_at_the_first(one, other):
    assume(one != other)
    changed = book()
    changed[one], changed[other] = changed[other], changed[one]
    fault = check(changed).fault
    assert fault is not None
    assert (fault.what, fault.number, fault.at) == ("missing", min(one, other) + 1, min(one, other) + 1)


@given(st.integers(0, 8), st.integers(0, 9))
def test_I14_a_line_put_in_is_named(which, place):
    changed = book()
    changed.insert(place, changed[which])
    fault = check(changed).fault
    assert fault is not None
    expected = place + 1 if which != place else place + 2
    assert fault.at == min(expected, len(changed)) or fault.what in ("out_of_place", "missing")
    assert fault.at in (place + 1, place + 2)


@given(
    st.integers(0, 8),
    st.sampled_from(["number", "chain", "phone", "line", "outcome", "code", "arrived_at", "sha", "entry"]),
    st.data(),
)
def test_I14_any_value_altered_anywhere_is_found_at_its_line(place, key, data):
    changed = book()
    tree = json.loads(changed[place])
    assume(tree.get(key) is not None)
    before = tree[key]
    if isinstance(before, int):
        tree[key] = before + data.draw(st.integers(1, 3))
    elif key == "arrived_at":
        tree[key] = before.replace("12:", "13:")
    elif key == "phone":
        tree[key] = C
    else:
        spot = data.draw(st.integers(0, len(before) - 1))
        tree[key] = before[:spot] + ("b" if before[spot] != "b" else "c") + before[spot + 1 :]
    changed[place] = as_lines_are(tree)
    fault = check(changed).fault
    assert fault is not None
    assert fault.at == place + 1


def as_lines_are(tree: dict) -> bytes:
    return json.dumps(tree, ensure_ascii=False, separators=(",", ":")).encode()


@given(st.data())
def test_I14_any_byte_of_an_exported_book_that_is_altered_is_found(data):
    """Also where the value read from it stays the same: *z* for *Z*, a space, a key twice, an escape."""
    changed = book()
    place = data.draw(st.integers(0, len(changed) - 1))
    raw = changed[place]
    at = data.draw(st.integers(0, len(raw) - 1))
    byte = data.draw(st.one_of(st.integers(0, 255), st.just(raw[at] ^ 0x20)))
    assume(byte != raw[at])
    changed[place] = raw[:at] + bytes([byte]) + raw[at + 1 :]
    assert check(changed).fault is not None


@pytest.mark.parametrize(
    ("what", "instead"),
    [
        (b"00Z", b"00z"),
        (b"00Z", b"00+00:00"),
        (b".000000Z", b"Z"),
        (b'"kept"', b'"kept" '),
        (b'"line":2', b'"line":2,"line":2'),
        (b'"note 2', b'"\\u006eote 2'),
        (b'"code":null', b'"code":null,"redacted":null'),
    ],
)
def test_I14_another_way_of_writing_the_same_line_is_an_alteration(what, instead):
    changed = book()
    assert what in changed[1]
    changed[1] = changed[1].replace(what, instead, 1)
    fault = check(changed).fault
    assert fault is not None
    assert (fault.what, fault.number, fault.at) in {("altered", 2, 2), ("unreadable", 2, 2)}


def test_W20_a_line_redacted_on_request_still_proves_and_one_that_just_lost_its_entry_does_not():
    changed = book()
    tree = json.loads(changed[1])
    tree["entry"] = None
    changed[1] = as_lines_are(tree)
    fault = check(changed).fault
    assert fault is not None
    assert (fault.what, fault.number) == ("altered", 2)
    changed[1] = as_lines_are(tree | {"redacted": True})
    report = check(changed)
    assert (report.fault, report.redacted) == (None, 1)


def test_W20_another_farms_book_is_told_apart():
    fault = check(book(), UUID(C)).fault
    assert fault is not None
    assert fault.number == 1


@given(st.lists(st.binary(max_size=60), max_size=4))
def test_W20_any_bytes_get_a_report_and_never_a_crash(raws):
    assert check(raws).fault is not None


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "shared.proof", *words], cwd=ROOT, capture_output=True, text=True
    )


@pytest.mark.parametrize("language", ["en", "es"])
def test_W20_the_program_names_the_line_and_says_what_it_proves(tmp_path, language):
    whole, cut = tmp_path / "whole.ndjson", tmp_path / "cut.ndjson"
    whole.write_bytes(b"\n".join(book()) + b"\n")
    cut.write_bytes(b"\n".join(book()[:4] + book()[5:]) + b"\n")
    told = run(str(whole), "--language", language)
    assert (told.returncode, "9" in told.stdout) == (0, True)
    assert check(book()).chain in told.stdout
    told = run(str(cut), "--language", language)
    assert (told.returncode, " 5 " in told.stdout) == (1, True)
    assert run(str(tmp_path / "none.ndjson")).returncode == 2


def test_W21_a_seal_that_somebody_holds_is_found_or_missed(tmp_path):
    whole = tmp_path / "whole.ndjson"
    whole.write_bytes(b"\n".join(book()) + b"\n")
    root = check(book()).seals[0].root
    assert run(str(whole), "--root", root).returncode == 0
    assert run(str(whole), "--root", "ab" * 32).returncode == 1
    assert run(str(whole), "--chain", "ab" * 32).returncode == 1
