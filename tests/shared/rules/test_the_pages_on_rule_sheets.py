"""The pages on rule sheets say what the sheets and the parser say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shared import rules
from shared.errors import BrokenSheet
from shared.languages import say
from shared.rules.keys import Key, all_keys
from shared.rules.sheet import Clause

DOCS = Path(__file__).resolve().parents[3] / "docs"
REFERENCE = (DOCS / "reference" / "rule-sheets.md").read_text("utf-8")
HOW_TO = (DOCS / "how-to" / "write-a-rule-sheet.md").read_text("utf-8")


def key_row(key: Key) -> str:
    bases = ", ".join(f"`{one}`" for one in key.bases)
    return f"| `{key.name}` | {say('en', f'clauses.{key.name}')} | {key.allowed()} | {bases} |"


def value_row(clause: Clause) -> str:
    value = ", ".join(clause.value) if isinstance(clause.value, tuple) else clause.value
    told = {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value
    told = f"{told:g}" if isinstance(told, float) else told
    unit = f" {clause.unit}" if clause.unit else ""
    basis = f", {clause.basis}" if clause.basis else ""
    return (
        f"| `{clause.key}` | {told}{unit}{basis} | {clause.citation} | {clause.read_on} "
        f"| {clause.standing} | {clause.force} |"
    )


def section(name: str) -> str:
    return REFERENCE.split(f"### `{name}`", 1)[1].split("\n### ", 1)[0].split("\n## ", 1)[0]


def rows(text: str) -> list[str]:
    return [line for line in text.splitlines() if line.startswith("| `")]


def test_the_reference_lists_every_key_as_the_parser_takes_it():
    keys = REFERENCE.split("## The keys", 1)[1].split("\n## ", 1)[0]
    assert rows(keys) == [key_row(all_keys()[name]) for name in rules.SHEET_KEYS]


@pytest.mark.parametrize("name", rules.sheet_names())
def test_the_reference_lists_every_value_of_a_sheet_with_its_source(name: str):
    sheet = rules.sheet(name)
    assert rows(section(name)) == [value_row(clause) for clause in sheet.clauses()]
    for one in sheet.unfound:
        assert f"`{one.key}`" in section(name).split("Looked for and not found:", 1)[1]


def test_the_sheet_of_the_how_to_is_a_sheet():
    (text,) = re.findall(r"```toml\n(name = .*?)```", HOW_TO, re.S)
    own = rules.own_sheet(text, "our-farm.toml")
    assert own.depth_in.value == 5.0
    assert own.trash_weight_pct is None
    assert [one.code for one in rules.depth_at_stop([own], "north part", 5.5)] == ["depth_spot"]


def test_the_error_that_the_how_to_shows_is_the_one_that_comes():
    (text,) = re.findall(r"```toml\n(name = .*?)```", HOW_TO, re.S)
    with pytest.raises(BrokenSheet) as caught:
        rules.own_sheet(text.replace("value = 5\n", "value = -5\n", 1), "our-farm.toml")
    error = caught.value
    assert f"{error.file}, line {error.line}, {error.key}: {error.wrong}" in HOW_TO


def test_the_front_door_that_the_reference_names_is_there():
    named = set(re.findall(r"`(\w+)\(", REFERENCE.split("## In code", 1)[1]))
    assert named
    assert [name for name in sorted(named) if not hasattr(rules, name)] == []
