"""Every finding, cure, key and word of the sheets is told in both languages."""

from __future__ import annotations

import ast
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import get_args

import pytest

from shared import rules
from shared.languages import LANGUAGES, has, say, sentences
from shared.rules.keys import all_keys
from shared.rules.room import Closed
from shared.words.finding import Finding, in_order

RULES = Path(__file__).resolve().parents[3] / "shared" / "rules"
LAWFUL = [rules.sheet("new_jersey")]


def words_in_the_rules() -> set[str]:
    """Every piece of text in the code of the checks: codes and cures among them, or the first part of one."""
    trees = [ast.parse(path.read_text("utf-8")) for path in RULES.glob("*.py")]
    nodes = [node for tree in trees for node in ast.walk(tree)]
    return {node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)}


@pytest.mark.parametrize("table", ["findings", "cures"])
def test_no_sentence_of_a_finding_is_left_that_no_check_gives(table: str):
    words = words_in_the_rules()
    parts = {word for word in words if word.endswith("_")}
    orphans = []
    for key in sentences("en"):
        if key.startswith(f"{table}."):
            code = key.removeprefix(f"{table}.").removesuffix(".one").removesuffix(".other")
            made_up = code.removesuffix("_truck_yards")
            if not {code, made_up, f"findings.{code}"} & words and not code.startswith(tuple(parts)):
                orphans.append(key)
    assert orphans == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_key_of_a_sheet_has_a_title(language: str):
    assert [key for key in rules.SHEET_KEYS if not has(language, f"clauses.{key}")] == []


def test_a_sheet_has_exactly_the_keys_that_the_table_of_keys_describes():
    assert set(rules.SHEET_KEYS) == set(all_keys())


@pytest.mark.parametrize("name", rules.sheet_names())
def test_a_sheet_that_comes_with_the_program_is_titled_alike_in_its_file_and_in_english(name: str):
    sheet = rules.sheet(name)
    assert sheet.name == name
    assert rules.sheet_title(sheet, "en") == sheet.title
    assert rules.sheet_title(sheet, "es") != sheet.title


def test_a_growers_sheet_keeps_its_own_title_in_every_language():
    own = replace(rules.sheet("farm"), title="Hill farm")
    assert {rules.sheet_title(own, language) for language in LANGUAGES} == {"Hill farm"}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", rules.sheet_names())
def test_every_word_that_a_sheet_lists_is_told(name: str, language: str):
    for clause in rules.sheet(name).clauses():
        listed = clause.value if isinstance(clause.value, tuple) else ()
        words = [*clause.to, *(listed if clause.key.endswith("_fields") or clause.key == "analyses" else ())]
        assert [word for word in words if not has(language, f"sheet_words.{word}")] == []


def test_a_growers_own_word_is_shown_as_it_was_written():
    facts = rules.RecordFacts("load 0613", "load", frozenset(), date(2025, 11, 3), date(2025, 11, 3))
    text = (
        'name = "own"\ntitle = "Own"\nauthority = "us"\nedition = "1"\nforce = "own"\nread_on = "2026-11"\n'
    )
    text += '[load_fields]\nvalue = ["seal of the county man"]\ncitation = "own"\nstanding = "read"\n'
    (short,) = rules.records([rules.own_sheet(text, "own.toml")], facts)
    assert "seal of the county man" in rules.worded(short, "es").says


def test_a_finding_can_name_its_subject_anew():
    (spot,) = rules.depth_at_stop(LAWFUL, "0190-uuid", 6.4)
    assert rules.worded(spot, "en", subject="North part").says.startswith("North part: 6.4 in")


def test_a_date_in_a_finding_is_told_with_its_year():
    facts = rules.ReportFacts(2025, "tons", handed_in_on=date(2026, 3, 9))
    (late,) = rules.report(LAWFUL, facts, date(2026, 3, 9))
    assert "1 March 2026" in rules.worded(late, "en").says
    assert "1 de marzo de 2026" in rules.worded(late, "es").says


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_was_not_found_is_told_as_no_leave_and_to_be_asked(language: str):
    found = rules.not_found(LAWFUL)
    assert "setback_well_ft" in {one.clause for one in found}
    for one in found:
        assert one.severity == "reminder"
        assert say(language, "findings.check_with_the_authority") in rules.worded(one, language).text()


def test_a_verdict_on_an_unconfirmed_value_cant_be_built():
    with pytest.raises(ValueError, match="unconfirmed value is never a verdict"):
        Finding("depth_over", "north", "verdict", sheet="x", clause="depth_in", standing="unconfirmed")


def test_a_finding_of_no_known_severity_cant_be_built():
    with pytest.raises(ValueError, match="severity"):
        Finding("depth_over", "north", "loud")


def test_findings_come_verdicts_first_and_each_once():
    verdict = Finding("b", "north", "verdict")
    reminder = Finding("a", "north", "reminder")
    assert in_order([reminder, verdict, reminder]) == (verdict, reminder)


@pytest.mark.parametrize("state", ["frozen", "dry", "moist", "wet", "standing_water", "snow"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_state_of_ground_that_a_sheet_may_bar_is_told(state: str, language: str):
    text = (
        'name = "own"\ntitle = "Own"\nauthority = "us"\nedition = "1"\nforce = "own"\nread_on = "2026-11"\n'
    )
    text += f'[barred_ground]\nvalue = ["{state}"]\ncitation = "own"\nstanding = "read"\n'
    own = rules.own_sheet(text, "own.toml")
    (barred,) = rules.may_be_spread_on([own], rules.GroundToSpreadOn("north", state))
    assert rules.worded(barred, language).says


@pytest.mark.parametrize("what", sorted(all_keys()["tell_at_once"].choices))
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_occurrence_that_a_sheet_may_want_told_is_told(what: str, language: str):
    text = (
        'name = "own"\ntitle = "Own"\nauthority = "us"\nedition = "1"\nforce = "own"\nread_on = "2026-11"\n'
    )
    text += f'[tell_at_once]\nvalue = ["{what}"]\ncitation = "own"\nstanding = "read"\n'
    own = rules.own_sheet(text, "own.toml")
    facts = rules.OccurrenceFacts("entry 12", what, date(2025, 11, 3))
    (untold,) = rules.occurrences([own], facts)
    assert untold.limit == ("authority",)
    assert rules.worded(untold, language).says


@pytest.mark.parametrize("language", LANGUAGES)
def test_why_a_field_has_no_room_and_what_its_yards_are_is_told(language: str):
    for why in get_args(Closed):
        assert "North" in say(language, f"room_closed.{why}", field="North")
    said = {say(language, f"room_yards.{yards}") for yards in ("truck", "ground")}
    assert len(said) == 2
