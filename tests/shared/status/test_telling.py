"""An entry in words, in both languages."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any, Literal, get_args, get_origin, get_type_hints
from uuid import UUID

import pytest

from shared.languages import LANGUAGES, has, say
from shared.status.telling import telling
from shared.wire import lines
from shared.words.bodies import KINDS
from shared.words.bodies.desk import SheetChoice

GOLDEN = Path(__file__).resolve().parents[2] / "golden" / "v1"


def called(one: UUID) -> str:
    return "Upper Rest"


def choices(hint: Any) -> set[str]:
    if get_origin(hint) is Literal:
        return set(get_args(hint))
    return set().union(*(choices(inner) for inner in get_args(hint) if not isinstance(inner, str)), set())


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("kind", KINDS)
def test_each_key_and_each_choice_of_a_kind_has_its_word(kind, language):
    hints = get_type_hints(KINDS[kind], include_extras=True)
    assert [name for name in hints if not has(language, f"entries.key.{name.rstrip('_')}")] == []
    assert [
        one for hint in hints.values() for one in choices(hint) if not has(language, f"entries.choice.{one}")
    ] == []


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("kind", KINDS)
def test_the_golden_entry_of_each_kind_is_told_in_a_line_and_by_its_parts(kind, language):
    told = telling(language, lines.decode((GOLDEN / f"{kind}.json").read_bytes()).body, called)
    assert told.title
    assert told.sum
    assert all(label and value for label, value in told.lines)


def test_a_cover_is_told_with_its_figure_unit_and_heads():
    body = lines.decode((GOLDEN / "cover.json").read_bytes()).body
    assert telling("en", body, called).sum == "sorghum-sudan 62 in, heads: few"
    assert telling("es", body, called).sum == "sorgo-sudán 62 pulg, espigas: pocas"
    assert ("Height", "62 in") in telling("en", body, called).lines
    assert ("Altura", "62 pulg") in telling("es", body, called).lines
    assert ("Stand", "90 %") in telling("en", body, called).lines


def test_a_load_says_what_the_truck_carried_and_where_it_went():
    told = telling("en", lines.decode((GOLDEN / "load.json").read_bytes()).body, called)
    assert told.sum == "R-0613 Upper Rest 20 yd³, taken"
    assert ("To", "20 yd³ to Upper Rest") in told.lines
    assert ("Bed and how full", "25 yd³, 80 % full") in told.lines


def test_who_is_not_known_here_is_said_so():
    told = telling("en", lines.decode((GOLDEN / "load.json").read_bytes()).body, lambda one: None)
    assert "somebody no longer known" in told.sum


def test_a_correction_is_told_by_what_it_puts_in_place_and_why():
    told = telling("en", lines.decode((GOLDEN / "correction.json").read_bytes()).body, called)
    assert told.sum == "rye 12 in, heads: none"
    assert ("Why", "misread") in told.lines


def test_a_due_is_told_by_its_job_and_not_by_the_name_that_machines_know_it_by():
    told = telling("es", KINDS["put_off"](f"mow:{UUID(int=1)}:{UUID(int=2)}", "broken"), called)
    assert say("es", "dues.title.mow") in told.sum
    assert ":" not in told.sum
    assert "sooner" in telling("en", KINDS["put_off"]("sooner", "wet"), called).sum


def test_a_rule_sheet_is_told_by_its_title_and_whether_it_is_in_force():
    on = SheetChoice("new_jersey", True, date(2026, 4, 1), "the county asks for it")
    assert telling("en", on, called).sum == "New Jersey leaf mulching, in force from 1 April 2026"
    off = telling("en", replace(on, sheet="our_own", in_force=False), called)
    assert off.sum == "our_own, out of force from 1 April 2026"
    assert "new_jersey" not in dict(telling("es", on, called).lines).values()
