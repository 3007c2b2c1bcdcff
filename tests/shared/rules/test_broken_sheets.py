"""A grower's broken sheet is told by file, line and key, whatever is wrong with it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared import rules
from shared.errors import BrokenSheet

SOUND = """\
name = "hill_farm"
title = "Hill farm"
authority = "the farm"
edition = "2026-11"
force = "own"
read_on = "2026-11"

[depth_in]
value = 5
basis = "calendar_year"
citation = "our own"
standing = "read"

[barred_ground]
value = ["snow", "frozen"]
citation = "our own"
standing = "read"

[setback_well_ft]
value = "not found"
note = "Asked nobody yet."
"""


def broken(text: str) -> BrokenSheet:
    with pytest.raises(BrokenSheet) as caught:
        rules.own_sheet(text, "hill.toml")
    return caught.value


def changed(old: str, new: str) -> str:
    assert old in SOUND
    return SOUND.replace(old, new, 1)


def test_the_sound_sheet_is_read():
    sheet = rules.own_sheet(SOUND, "hill.toml")
    assert (sheet.depth_in.value, sheet.depth_in.basis, sheet.depth_in.unit) == (5.0, "calendar_year", "in")
    assert sheet.depth_in.read_on == "2026-11"
    assert sheet.barred_ground.value == ("snow", "frozen")
    assert sheet.setback_well_ft is None
    assert [one.key for one in sheet.unfound] == ["setback_well_ft"]


@pytest.mark.parametrize(
    ("text", "line", "key", "says"),
    [
        (changed('force = "own"\n', ""), None, "force", "needs this key at its top"),
        (changed('title = "Hill farm"', "title = 7"), 2, "title", "text in quotes"),
        (changed('"hill_farm"', '"Hill Farm"'), 1, "name", "small letters"),
        (changed('"hill_farm"', '"new_jersey"'), 1, "name", "comes with the program"),
        (changed('force = "own"', 'force = "strong"'), 5, "force", "law, local, own, guidance, proposed"),
        (changed('"2026-11"\n\n', '"last week"\n\n'), 6, "read_on", '"2026-11"'),
        (changed('read_on = "2026-11"\n\n', "\n"), 7, "depth_in.read_on", "when it was read"),
        (changed("value = 5\n", ""), 8, "depth_in.value", "needs its value"),
        (changed('citation = "our own"\n', ""), 8, "depth_in.citation", "where it stands"),
        (changed('standing = "read"\n', ""), 8, "depth_in.standing", "where it stands"),
        (changed("value = 5", 'value = "five"'), 9, "depth_in.value", "a number from 0.01 to 60 in"),
        (changed("value = 5", "value = true"), 9, "depth_in.value", "a number from 0.01 to 60 in"),
        (changed("value = 5", "value = -5"), 9, "depth_in.value", "a number from 0.01 to 60 in"),
        (changed("value = 5", "value = nan"), 9, "depth_in.value", "a number from 0.01 to 60 in"),
        (changed("value = 5", "value = inf"), 9, "depth_in.value", "a number from 0.01 to 60 in"),
        (changed("calendar_year", "leap_year"), 10, "depth_in.basis", "rolling_twelve_months"),
        (changed('standing = "read"', 'standing = "sure"'), 12, "depth_in.standing", "unconfirmed"),
        (changed("basis =", "bases ="), 10, "depth_in.bases", "citation"),
        (changed("[depth_in]", "[deepness_in]"), 8, "deepness_in", "depth_in"),
        (changed("[depth_in]", "[[depth_in]]"), 8, "depth_in", "write it as a table"),
        (changed('"frozen"', '"icy"'), 15, "barred_ground.value", "frozen"),
        (changed('"frozen"', '"snow"'), 15, "barred_ground.value", "each once"),
        (changed('["snow", "frozen"]', "[]"), 15, "barred_ground.value", "one or more"),
        (changed('note = "Asked nobody yet."\n', ""), 19, "setback_well_ft.note", "where was looked"),
        (SOUND + '[report_due]\nvalue = "02-30"\ncitation = "x"\nstanding = "read"\n', 23, "report_due.value", "MM-DD"),
        (SOUND + '[report_due]\nvalue = "3-1"\ncitation = "x"\nstanding = "read"\n', 23, "report_due.value", "MM-DD"),
        (SOUND + '[bags_off]\nvalue = 1\ncitation = "x"\nstanding = "read"\n', 23, "bags_off.value", "true or false"),
        (
            SOUND + '[applications]\nvalue = 2.5\ncitation = "x"\nstanding = "read"\n',
            23,
            "applications.value",
            "whole number",
        ),
        (
            SOUND + '[work_in_by]\nvalue = "soon"\ncitation = "x"\nstanding = "read"\n',
            23,
            "work_in_by.value",
            "next_season",
        ),
        (
            SOUND + '[bags_off]\nvalue = true\nbasis = "x"\ncitation = "x"\nstanding = "read"\n',
            24,
            "bags_off.basis",
            "no basis",
        ),
        (
            SOUND + '[bags_off]\nvalue = true\nto = "county"\ncitation = "x"\nstanding = "read"\n',
            24,
            "bags_off.to",
            "list of words",
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_file_line_and_key(text: str, line: int | None, key: str, says: str):
    error = broken(text)
    assert (error.file, error.line, error.key) == ("hill.toml", line, key)
    assert says in error.wrong


def test_a_key_written_twice_in_a_table_is_told_at_the_second():
    error = broken(changed("value = 5\n", "value = 5\nvalue = 6\n"))
    assert (error.line, error.key) == (10, "depth_in.value")
    assert "twice" in error.wrong


def test_a_table_written_twice_is_told_at_the_second():
    error = broken(SOUND + '\n[depth_in]\nvalue = 4\ncitation = "x"\nstanding = "read"\n')
    assert (error.line, error.key) == (23, "depth_in")
    assert "twice" in error.wrong


@pytest.mark.parametrize(
    ("text", "line", "key"),
    [
        (changed("value = 5", "value = 5 inches"), 9, "depth_in.value"),
        (changed("value = 5", "value ="), 9, "depth_in.value"),
        (changed("[depth_in]", "[depth_in"), 8, ""),
        (changed('citation = "our own"', 'citation = "our own'), 11, "depth_in.citation"),
    ],
)
def test_what_is_not_toml_is_told_with_its_line(text: str, line: int, key: str):
    error = broken(text)
    assert error.line == line
    assert "not TOML" in error.wrong
    if key:
        assert error.key == key


def test_a_key_that_stands_in_a_long_text_is_not_taken_for_the_key_itself():
    text = changed('note = "Asked nobody yet."', 'note = """\nvalue = 9\n[bags_off]\n"""\nbasis = 3')
    error = broken(text.replace('value = "not found"', "value = -1").replace("basis = 3\n", ""))
    assert error.key == "setback_well_ft.citation"
    assert error.line == 19


def test_a_sheet_with_dates_written_as_toml_dates_is_read():
    sheet = rules.own_sheet(changed('read_on = "2026-11"', "read_on = 2026-11-03"), "hill.toml")
    assert sheet.depth_in.read_on == "2026-11-03"


def test_a_number_too_long_and_a_list_too_deep_are_told_and_not_a_traceback():
    assert broken(changed("value = 5", "value = " + "9" * 5000)).file == "hill.toml"
    assert broken(changed("value = 5", "value = " + "[" * 3000 + "]" * 3000)).file == "hill.toml"


LINES = st.sampled_from(
    [*SOUND.splitlines(), "[bags_off]", "value = -1", "value = 1e400", '"""', "[[a]]", "x", ""]
)


@settings(deadline=None, derandomize=True, database=None, max_examples=300)
@given(st.lists(LINES, max_size=25))
def test_any_shuffle_of_lines_is_a_sheet_or_is_told_as_broken(lines: list[str]):
    text = "\n".join(lines)
    try:
        rules.own_sheet(text, "hill.toml")
    except BrokenSheet as error:
        assert error.file == "hill.toml"
        assert error.wrong
        assert error.line is None or 1 <= error.line <= max(1, len(lines))


@settings(deadline=None, derandomize=True, database=None, max_examples=300)
@given(st.text(max_size=80))
def test_any_text_is_a_sheet_or_is_told_as_broken(text: str):
    with pytest.raises(BrokenSheet):
        rules.own_sheet(text, "hill.toml")
