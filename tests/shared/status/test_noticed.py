"""Findings in a person's language, with and without a rule sheet behind them."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from shared.languages import LANGUAGES, sentences
from shared.rules import sheets_in_force
from shared.rules.depth import depth_at_stop
from shared.status.field_status import fold
from shared.status.legs import sown_leg
from shared.status.noticed import told
from shared.status.standing import standing
from shared.status.tree import tree_of, value_from
from shared.words.bodies.walked import Ground
from shared.words.bodies.work import Work

STATUS = Path(__file__).resolve().parents[3] / "shared" / "status"


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_does_not_fit_a_fields_history_can_be_read(pen, language):
    status = fold(standing([pen.write(Work("harvest"), "2026-06-01")]).facts, pen.land(), pen.zone)
    (finding,) = status.findings()
    said = told(finding, language, "Quarry Side")
    assert said.startswith("Quarry Side: ")
    assert "2026" in said


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_wrong_with_a_change_can_be_read_with_its_cure(pen, language):
    wrote = pen.write(Ground("wet"))
    found = standing([wrote, pen.correct(wrote, Ground("dry"), by=pen.ben)]).findings
    assert len(told(found[0], language, "0012").split(". ")) > 1


def test_a_rules_finding_is_worded_by_the_rules():
    (finding,) = depth_at_stop(sheets_in_force(["farm"]), "north part", 6.4)
    assert told(finding, "en").startswith("north part: 6.4 in here")


def test_every_code_and_cure_that_the_folds_give_has_a_sentence_and_no_sentence_is_left_over():
    code = "\n".join(path.read_text("utf-8") for path in STATUS.rglob("*.py"))
    words = set(re.findall(r'"([a-z_]+)"', code))
    for table in ("noticed", "noticed_cures"):
        keys = {key.removeprefix(f"{table}.") for key in sentences("en") if key.startswith(f"{table}.")}
        assert keys - words == set()
    for given_ in re.findall(r'(?:noticed|_odd|Finding)\(\s*"([a-z_]+)"', code):
        assert f"noticed.{given_}" in sentences("en"), given_


@pytest.mark.parametrize(
    ("crop", "leg"),
    [
        ("orchardgrass", "hay"),
        ("perennial ryegrass", "hay"),
        ("sorghum_sudan", "smother"),
        ("Rye-vetch", "lead_in"),
        ("sweet corn", "cash"),
        ("winter squash", "cash"),
        ("", None),
        (None, None),
    ],
)
def test_a_sown_crops_name_tells_the_leg_it_begins(crop, leg):
    assert sown_leg(crop) == leg


def test_a_row_of_another_shape_is_refused():
    with pytest.raises(ValueError):
        value_from(date | None, "not a day")
    with pytest.raises(TypeError):
        tree_of(object())
    with pytest.raises(TypeError):
        value_from(object, {})
