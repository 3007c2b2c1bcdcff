"""W1 to W3: what is sound, what is held and why, and that bytes come back as they went."""

from __future__ import annotations

import dataclasses
import json
import sys
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import TooLarge, Unsound
from shared.wire import lines
from shared.words.bodies import KINDS

sys.path.insert(0, str(Path(__file__).parent))
from samples import BODIES, A, envelope, line

GOLDEN = Path(__file__).resolve().parents[2] / "golden" / "v1"


def why(raw: bytes) -> str:
    with pytest.raises(Unsound) as caught:
        lines.decode(raw)
    return caught.value.why


def cover(**body: object) -> bytes:
    return line(envelope("cover", body=BODIES["cover"] | body))


@pytest.mark.parametrize("kind", KINDS)
def test_W1_the_golden_entry_of_each_kind_is_read_and_written_to_the_byte(kind):
    golden = (GOLDEN / f"{kind}.json").read_bytes()
    entry = lines.decode(golden)
    assert entry.kind == kind
    assert lines.encode(entry) == golden
    assert json.loads(golden) == envelope(kind)


@pytest.mark.parametrize("kind", KINDS)
def test_W3_no_number_of_an_entry_is_a_float(kind):
    def floats(value: object) -> list[object]:
        if dataclasses.is_dataclass(value):
            return [f for one in dataclasses.fields(value) for f in floats(getattr(value, one.name))]
        if isinstance(value, (tuple, list)):
            return [f for one in value for f in floats(one)]
        return [value] if isinstance(value, float) else []

    assert floats(lines.decode(line(envelope(kind)))) == []


def test_W1_bytes_that_are_no_text_or_no_json_are_held_with_their_reason():
    assert why(b"\xff\xfe") == "not_utf8"
    assert why("\ufeff{}".encode()) == "not_utf8"
    assert why(b"{") == "not_json"
    assert why(b"") == "not_json"
    assert why(b"{}\n") == "newline"
    assert why(b"[]") == "not_object"
    assert why(b"null") == "not_object"


def test_W1_a_key_twice_is_held():
    raw = line(envelope("note")).replace(b'"kind":', b'"id":"x","kind":', 1)
    assert why(raw) == "key_twice"


@pytest.mark.parametrize("constant", [b"NaN", b"Infinity", b"-Infinity"])
def test_W1_what_is_no_number_is_held(constant):
    assert (
        why(line(envelope("note", mono_ms=7)).replace(b'"mono_ms":7', b'"mono_ms":' + constant))
        == "not_finite"
    )


@pytest.mark.parametrize("number", [b"7.0", b"7e2", b"-0.5"])
def test_W3_a_float_is_held(number):
    assert why(line(envelope("note", mono_ms=7)).replace(b'"mono_ms":7', b'"mono_ms":' + number)) == "float"


def test_W1_integers_hold_up_to_two_to_the_53_less_1_and_no_further():
    assert lines.decode(line(envelope("note", mono_ms=2**53 - 1))).mono_ms == 2**53 - 1
    assert why(line(envelope("note", mono_ms=2**53))) == "integer"
    assert why(line(envelope("note", mono_ms=10**4000))) == "integer"


def test_W1_nesting_over_eight_is_held_and_never_a_crash():
    deep: object = "x"
    for _ in range(9):
        deep = [deep]
    assert why(line(envelope("note", photos=deep))) == "nesting"
    assert why(b"[" * 60_000) == "nesting"


def test_W1_a_nul_and_a_lone_surrogate_are_held():
    assert why(line(envelope("note", body={"text": "a"})).replace(b'"a"', rb'"a\u0000"')) == "nul"
    assert why(line(envelope("note", body={"text": "a"})).replace(b'"a"', rb'"\ud800"')) == "surrogate"
    pair = line(envelope("note", body={"text": "a"})).replace(b'"a"', rb'"\ud83c\udf42"')
    assert lines.decode(pair).body.text == "\U0001f342"


@pytest.mark.parametrize("text", ["0", "62", "-3.5", "0.123456789", "999999999"])
def test_W1_a_decimal_as_the_contract_writes_it_is_sound(text):
    assert lines.decode(cover(height_in=text)).body.height_in == Decimal(text)


@pytest.mark.parametrize(
    "text", ["", "62.", ".5", "1e3", "+1", "007", "1,5", "1234567890", "0.1234567890", "٣", " 1", "NaN"]
)
def test_W1_any_other_decimal_is_held(text):
    assert why(cover(height_in=text)) == "decimal"


def test_W1_a_measured_value_as_a_bare_number_is_held():
    assert why(cover(height_in=62)) == "wrong_type"


def test_W1_a_uuid_in_upper_case_is_held():
    assert why(line(envelope("note", id=A.upper()))) == "uuid"


def test_W1_keys_that_are_unknown_or_missing_are_held_and_named():
    with pytest.raises(Unsound) as caught:
        lines.decode(line(envelope("cover", colour="green")))
    assert (caught.value.why, caught.value.where) == ("unknown_key", "colour")
    tree = envelope("cover")
    del tree["sheets"]
    with pytest.raises(Unsound) as caught:
        lines.decode(line(tree))
    assert (caught.value.why, caught.value.where) == ("missing_key", "sheets")
    with pytest.raises(Unsound) as caught:
        lines.decode(line(envelope("cover", body={"cover": "rye", "heads": "none"})))
    assert (caught.value.why, caught.value.where) == ("missing_key", "body.height_in")


def test_W1_an_optional_key_is_left_out_and_never_null():
    assert why(cover(stand_pct=None)) == "wrong_type"


def test_W1_an_unknown_kind_and_a_newer_edition_are_held_with_the_id_that_they_carry():
    for changed, reason in (({"kind": "moonphase"}, "unknown_kind"), ({"edition": 2}, "newer_edition")):
        with pytest.raises(Unsound) as caught:
            lines.decode(line(envelope("cover") | changed))
        assert caught.value.why == reason
        assert str(caught.value.entry_id) == A


def test_W1_over_64_KiB_is_too_large():
    lines.decode(line(envelope("note", body={"text": "x" * 60_000})))
    with pytest.raises(TooLarge):
        lines.decode(line(envelope("note", body={"text": "x" * 65_536})))


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2026-07-02T08:00:01-04:00", datetime(2026, 7, 2, 12, 0, 1, tzinfo=UTC)),
        ("2026-07-02t08:00:01z", datetime(2026, 7, 2, 8, 0, 1, tzinfo=UTC)),
        ("1985-04-12T23:20:50.52Z", datetime(1985, 4, 12, 23, 20, 50, 520_000, tzinfo=UTC)),
        ("1996-12-19T16:39:57-08:00", datetime(1996, 12, 20, 0, 39, 57, tzinfo=UTC)),
        ("1990-12-31T23:59:60Z", None),
        ("1937-01-01T12:00:27.87+00:20", datetime(1937, 1, 1, 11, 40, 27, 870_000, tzinfo=UTC)),
        ("0000-01-01T00:00:00Z", None),
        ("0001-01-01T00:00:00+01:00", None),
        ("9999-12-31T23:59:59-01:00", None),
    ],
)
def test_W1_any_time_of_RFC_3339_is_sound_and_derives_null_where_there_is_no_utc(text, utc):
    """The examples are those of RFC 3339, section 5.8, and times at the edges of the calendar."""
    entry = lines.decode(line(envelope("note", made_at=text)))
    assert entry.made_at.text == text
    assert entry.made_at.utc == utc


@pytest.mark.parametrize(
    "text",
    [
        "2026-07-02",
        "2026-07-02 08:00:00Z",
        "2026-07-02T08:00:00",
        "2026-13-02T08:00:00Z",
        "2026-02-29T08:00:00Z",
        "2026-07-02T24:00:00Z",
        "2026-07-02T08:60:00Z",
        "2026-07-02T08:00:00+24:00",
        "",
    ],
)
def test_W1_a_time_outside_the_grammar_is_held(text):
    assert why(line(envelope("note", made_at=text))) == "time"


@given(st.text(alphabet="0123456789-+:.TtZz ", max_size=32))
def test_W1_what_the_reader_of_times_takes_is_what_an_independent_checker_takes(text):
    from rfc3339_validator import validate_rfc3339

    try:
        lines.decode(line(envelope("note", made_at=text)))
        sound = True
    except Unsound:
        sound = False
    if sound and ":60" not in text and not text.startswith("0000"):
        assert validate_rfc3339(text.upper())


def test_a_choice_of_other_says_in_words_what_it_is():
    assert why(cover(cover="other")) == "missing_key"
    assert lines.decode(cover(cover="other", other_text="buckwheat")).body.other_text == "buckwheat"


def test_bodies_that_contradict_themselves_are_held():
    load = BODIES["load"]
    assert why(line(envelope("load", body=load | {"outcome": "turned_back"}))) == "contradiction"
    firmness = {key: value for key, value in BODIES["firmness"].items() if not key.endswith(("psi", "_in"))}
    assert why(line(envelope("firmness", body=firmness))) == "missing_key"
    profile = line(envelope("firmness", body=firmness | {"profile": [["3", "120"], ["6", "310"]]}))
    assert lines.decode(profile).body.highest_psi == 310
    assert why(line(envelope("weeds", body={"seed_set": "none"}))) == "missing_key"
    correction = BODIES["correction"]
    assert why(line(envelope("correction", body=correction | {"of": "strike"}))) == "contradiction"
    assert why(line(envelope("correction", body=correction | {"of": "weeds"}))) == "unknown_key"


def test_W9_the_handle_is_a_uuid_of_version_8_made_from_the_sha():
    handle = lines.handle(lines.sha(b"not json"))
    assert handle.version == 8
    assert handle.hex[:12] == lines.sha(b"not json")[:12]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=True) | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


@given(st.sampled_from(sorted(KINDS)), st.sampled_from(sorted(envelope("note"))), JSON)
def test_I7_whatever_stands_in_a_key_the_answer_is_an_entry_or_a_named_reason(kind, key, value):
    raw = json.dumps(envelope(kind) | {key: value}, ensure_ascii=True).encode()
    try:
        lines.decode(raw)
    except Unsound as unsound:
        assert unsound.why in lines.WHY_UNSOUND


@given(st.sampled_from(sorted(KINDS)), st.data())
def test_I7_whatever_stands_in_a_body_the_answer_is_an_entry_or_a_named_reason(kind, data):
    body = dict(BODIES[kind])
    key = data.draw(st.sampled_from(sorted(body)))
    body[key] = data.draw(JSON)
    try:
        lines.decode(json.dumps(envelope(kind, body=body)).encode())
    except Unsound as unsound:
        assert unsound.why in lines.WHY_UNSOUND


@given(st.binary(max_size=300))
def test_I7_any_bytes_are_an_entry_or_a_named_reason(raw):
    try:
        lines.decode(raw)
    except Unsound as unsound:
        assert unsound.why in lines.WHY_UNSOUND


@given(st.sampled_from(sorted(KINDS)), st.integers(0, 700), st.integers(0, 255))
def test_W1_a_byte_changed_anywhere_changes_the_sha(kind, place, byte):
    raw = bytearray(line(envelope(kind)))
    before = lines.sha(bytes(raw))
    place %= len(raw)
    changed = raw[place] != byte
    raw[place] = byte
    assert (lines.sha(bytes(raw)) != before) == changed
