"""A person's name in the free text of entries."""

from __future__ import annotations

import json
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.wire import lines
from shared.words.naming import TAKEN_OUT, pattern_of, without

GOLDEN = Path(__file__).resolve().parents[2] / "golden/v1"
GOLDENS = {one.stem: one.read_bytes().rstrip(b"\n") for one in sorted(GOLDEN.glob("*.json"))}


@pytest.mark.parametrize("kind", GOLDENS)
def test_an_entry_without_the_name_is_the_same_value(kind: str) -> None:
    entry = lines.decode(GOLDENS[kind])
    assert without(entry, pattern_of(["Nobody Atall"])) is entry


@pytest.mark.parametrize("kind", GOLDENS)
def test_every_text_of_somebodys_own_loses_the_name_and_the_entry_stays_sound(kind: str) -> None:
    """Any string that may be replaced by a name is replaced by one, and comes back without it."""
    tree = json.loads(GOLDENS[kind])
    named = 0
    for place, words in _texts(tree["body"]):
        told = json.loads(GOLDENS[kind])
        _put(told["body"], place, f"by Zulma Orr, {words}")
        raw = json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode()
        try:
            entry = lines.decode(raw)
        except lines.Unsound:
            continue
        left = lines.encode(without(entry, pattern_of(["Zulma Orr"])))
        if place[-1] not in ("due", "ask", "sheet", "root", "of"):
            assert left == raw.replace(b"Zulma Orr", TAKEN_OUT.encode()), place
            named += 1
    assert named or kind not in ("note", "load", "occurrence", "strike", "correction", "document")


def _texts(tree: object, place: tuple[str | int, ...] = ()) -> list[tuple[tuple[str | int, ...], str]]:
    if isinstance(tree, str):
        return [(place, tree)]
    inside = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    return [one for key, value in inside for one in _texts(value, (*place, key))]


def _put(tree: object, place: tuple[str | int, ...], words: str) -> None:
    for key in place[:-1]:
        tree = tree[key]  # type: ignore[index]
    tree[place[-1]] = words  # type: ignore[index]


@pytest.mark.parametrize(
    ("words", "left"),
    [
        ("José Peña saw it", "[…] saw it"),
        (unicodedata.normalize("NFD", "José Peña saw it"), "[…] saw it"),
        ("JOSÉ\nPEÑA", "[…]"),
        ("José Peñarol and Josefa", "José Peñarol and Josefa"),
    ],
)
def test_a_name_is_found_as_whole_words_however_it_is_written(words: str, left: str) -> None:
    assert pattern_of(["José  Peña"]).sub(TAKEN_OUT, words) == left


@given(st.text(max_size=30), st.text(max_size=60))
def test_whatever_is_asked_for_is_gone_afterwards_or_is_no_name(name: str, words: str) -> None:
    if not any(char.isalpha() for char in name):
        with pytest.raises(ValueError):
            pattern_of([name])
        return
    names = pattern_of([name])
    assert not names.search(names.sub(TAKEN_OUT, f"{words} {name} {words}"))
