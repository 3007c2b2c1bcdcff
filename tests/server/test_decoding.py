"""The compiled decoder and ``shared.wire.lines.decode`` are one: the same entry, or the same reason to hold."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.intake import decoding
from shared.errors import GoodgroundError, Unsound
from shared.wire import lines
from tests.shared.wire.samples import BODIES

GOLDEN = sorted((Path(__file__).resolve().parents[1] / "golden" / "v1").glob("*.json"))
TREES = [json.loads(path.read_bytes()) for path in GOLDEN]


def said(decode: Any, raw: bytes) -> Any:
    """The entry, or the code with the reason and the id that could be read."""
    try:
        return decode(raw)
    except Unsound as unsound:
        return (unsound.why, unsound.where, unsound.detail, unsound.entry_id)
    except GoodgroundError as error:
        return error.code


def alike(raw: bytes) -> None:
    assert said(decoding.decode, raw) == said(lines.decode, raw)


def written(tree: Any) -> bytes:
    return json.dumps(tree, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")


def test_there_is_a_golden_entry_of_every_kind() -> None:
    assert {tree["kind"] for tree in TREES} == set(BODIES) | {tree["kind"] for tree in TREES}
    assert len(TREES) == 31


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_every_golden_entry_is_read_compiled_and_says_the_same(path: Path) -> None:
    raw = path.read_bytes()
    read = decoding.read(raw)
    assert read._plain is not None, "it went the slow way"
    assert read.entry == lines.decode(raw)
    whole = lines.decode(raw)
    assert (read.id, read.by, read.done_by, read.field) == (whole.id, whole.by, whole.done_by, whole.field)


BETWEEN = [b" ", b"\n", b"\\u0000", b"\\ud800", b'"', b"{", b"\t", b"0"]
ODD = [
    *(
        None,
        True,
        False,
        0,
        -1,
        1,
        2**53,
        2**53 - 1,
        -(2**53),
        10**30,
        "",
        "0",
        "-0",
        "00",
        "1.",
        ".5",
        "1e3",
        "1.5",
    ),
    *("999999999.999999999", "1234567890", "0.1234567890", "٣", "x", "62\n", " 62", "none", "rye", "other"),
    *([], {}, [[]], [[[[[[[[1]]]]]]]], [None], ["rye"], [["vetch", "30"]], [["vetch", 30]], {"a": 1}),
    *(
        "01890A5D-AC96-774B-BCCE-B302099A8057",
        "01890a5dac96774bbcceb302099a8057",
        "01890a5d-ac96-774b-bcce-b302099a8057",
    ),
    *("{01890a5d-ac96-774b-bcce-b302099a8057}", "urn:uuid:01890a5d-ac96-774b-bcce-b302099a8057"),
    *("2026-07-02", "2026-02-29", "2026-7-2", "20260702", "2026-W27-4", "0000-01-01", "9999-12-31"),
    *(
        "2026-07-02T08:00:01.123-04:00",
        "2026-07-02T08:00:01,123-04:00",
        "2026-07-02 08:00:01Z",
        "2026-07-02t08:00:01z",
    ),
    *(
        "2026-07-02T08:00:60Z",
        "2026-07-02T24:00:00Z",
        "2026-07-02T08:00:01-04:99",
        "2026-07-02T08:00:01-24:00",
    ),
    *(
        "2026-07-02T08:00:01.1Z",
        "2026-07-02T08:00:01.123456789Z",
        "2026-07-02T08:00:01",
        "0001-01-01T00:00:00+14:00",
    ),
    *(
        "9999-12-31T23:59:59-23:59",
        "2026-07-02T08:00:01.123-0400",
        "2026-07-02T08:00Z",
        "a\u0000b",
        "\ud800",
        "\ufeff",
    ),
    *("2026-07-02T08:00:01.123−04:00", "new_jersey@1", "turned_back", "1-5", 1.0, 1.5, 1e300),
]


@given(st.sampled_from(TREES), st.data())
def test_whatever_value_stands_at_any_key_both_say_the_same(
    tree: dict[str, Any], data: st.DataObject
) -> None:
    tree = json.loads(json.dumps(tree))
    for _ in range(data.draw(st.integers(1, 2))):
        inside = data.draw(st.sampled_from([tree, tree["body"], *([tree["at"]] if tree["at"] else [])]))
        key = data.draw(st.sampled_from(sorted(inside)))
        inside[key] = data.draw(st.sampled_from(ODD))
        if not isinstance(tree["body"], dict) or not isinstance(tree["at"], dict | None):
            break
    alike(written(tree))


@given(st.sampled_from(TREES), st.data())
def test_keys_missing_unknown_or_moved_are_said_the_same(tree: dict[str, Any], data: st.DataObject) -> None:
    tree = json.loads(json.dumps(tree))
    inside = data.draw(st.sampled_from([tree, tree["body"]]))
    match data.draw(st.sampled_from(["drop", "add", "move"])):
        case "drop":
            del inside[data.draw(st.sampled_from(sorted(inside)))]
        case "add":
            inside[data.draw(st.sampled_from(["extra", "cover", "other_text", "from_", "from", ""]))] = 1
        case _:
            key = data.draw(st.sampled_from(sorted(inside)))
            inside[key] = inside.pop(key)
    alike(written(tree))


@given(st.sampled_from(GOLDEN), st.data())
def test_bytes_changed_anywhere_are_said_the_same(path: Path, data: st.DataObject) -> None:
    raw = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 3))):
        place = data.draw(st.integers(0, len(raw) - 1))
        match data.draw(st.sampled_from(["set", "insert", "delete", "cut"])):
            case "set":
                raw[place] = data.draw(st.integers(0, 255))
            case "insert":
                raw[place:place] = data.draw(
                    st.sampled_from([b" ", b"\n", b"\\u0000", b"\\ud800", b'"', b"{", b"\t", b"0"])
                )
            case "delete":
                del raw[place]
            case _:
                raw = raw[: place + 1]
    alike(bytes(raw))


@given(st.sampled_from(TREES), st.text(max_size=20))
def test_any_text_is_read_the_same(tree: dict[str, Any], text: str) -> None:
    note = tree | {"kind": "note", "body": {"text": text}}
    alike(written(note))
    alike(json.dumps(note, separators=(",", ":")).encode())


@pytest.mark.parametrize(
    "spoil",
    [
        lambda raw: raw.replace(b'"edition":1', b'"edition":1,"edition":1'),
        lambda raw: raw.replace(b'"edition":1', b'"edition":1.0'),
        lambda raw: raw.replace(b'"edition":1', b'"edition":2'),
        lambda raw: raw.replace(b'"edition":1', b'"edition":NaN'),
        lambda raw: raw.replace(b'"kind":"cover"', b'"kind":"hay"'),
        lambda raw: raw.replace(b'"cover":"', b'"cover":"rye","cover":"'),
        lambda raw: b"\xef\xbb\xbf" + raw,
        lambda raw: raw + b"\n",
        lambda raw: raw + b" ",
        lambda raw: raw + b"x" * 66_000,
        lambda raw: b"[" * 5_000,
        lambda raw: b'{"id":' * 3_000,
        lambda raw: b"",
    ],
)
def test_what_is_written_to_deceive_is_said_the_same(spoil: Any) -> None:
    raw = next(path.read_bytes() for path in GOLDEN if path.stem == "cover")
    alike(spoil(raw))
