"""The registers: every load, struck and corrected ones too, with the days it was spread and worked in."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from typing import get_args, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.languages import LANGUAGES, has
from shared.status.field_status import fold
from shared.status.registers import (
    LEAF_INTAKE,
    REGISTERS,
    Ground,
    Word,
    leaf_intake,
    turned_back,
    worked_in,
    written_row,
)
from shared.status.standing import standing
from shared.words.bodies.gate import Load
from shared.words.bodies.work import Work


def changed(written, **told):
    body = written.entry.body
    return Load(**({name: getattr(body, name) for name in Load.__dataclass_fields__} | told))


def rows(pen, written):
    facts = standing(written).facts
    return leaf_intake(facts, [ground(pen, facts)], pen.zone)


def ground(pen, facts):
    return Ground(fold(facts, pen.land(), pen.zone), pen.land())


def test_a_load_brings_its_day_town_yards_place_and_the_days_it_was_spread_and_worked_in(pen):
    load = pen.load("20", "2025-11-20", sheets=("new_jersey 2026-11",))
    spread = pen.write(Work("spread"), "2025-11-22")
    worked = pen.write(Work("work_in"), "2026-04-30")
    (row,) = rows(pen, [load, spread, worked, pen.initial(load)])
    assert (row.number, row.on, row.at, row.ticket) == (1, date(2025, 11, 20), time(12, 0), "A-0001")
    assert (row.town, row.to, row.yards_yd3, row.outcome) == (pen.town, pen.field, 20, Word("taken"))
    assert (row.spread_on, row.worked_in_on) == (date(2025, 11, 22), date(2026, 4, 30))
    assert (row.by, row.initialled_by, row.sheets) == (pen.ana, pen.ruth, ("new_jersey 2026-11",))


def test_a_load_split_over_two_places_has_a_row_for_each(pen):
    load = pen.load("20")
    split = pen.correct(load, changed(load, to=((pen.field, Decimal(12)), (pen.pile, Decimal(8)))))
    found = rows(pen, [load, split])
    assert {(row.to, row.yards_yd3) for row in found} == {(pen.field, Decimal(12)), (pen.pile, Decimal(8))}
    assert {row.was.yards_yd3 for row in found} == {20}


def test_a_struck_load_stays_in_the_register_with_the_reason(pen):
    load = pen.load("20")
    (row,) = rows(pen, [load, pen.strike(load)])
    assert (row.struck, row.change, row.change_why) == (True, Word("struck"), "slip")


def test_a_corrected_load_brings_the_row_that_it_replaced(pen):
    load = pen.load("20")
    (row,) = rows(pen, [load, pen.correct(load, changed(load, ticket="A-9"))])
    assert (row.ticket, row.change, row.change_why, row.was.ticket) == (
        "A-9",
        Word("corrected"),
        "misread",
        "A-0001",
    )


def test_a_load_turned_back_is_in_both_registers_and_took_no_yards(pen):
    back = pen.load("20", outcome="turned_back", reason="bags", trash="over", trash_items=("plastic",))
    taken = pen.load("20")
    facts = standing([back, taken]).facts
    (row,) = turned_back(facts, pen.zone)
    assert (row.entry, row.yards_yd3, row.carried_yd3, row.reason, row.to) == (
        back.entry.id,
        0,
        20,
        "bags",
        None,
    )
    assert len(rows(pen, [back, taken])) == 2


def test_a_row_reads_in_both_languages_with_names_for_ids(pen):
    (row,) = rows(
        pen, [pen.load("20", trash="picked", trash_items=("glass", "metal"), outcome="taken_after_picking")]
    )
    names = {pen.town: "Fallowdale", pen.field: "Quarry Side", pen.ana: "Ana"}
    english = dict(zip(LEAF_INTAKE.columns, written_row(LEAF_INTAKE, row, "en", names), strict=True))
    spanish = dict(zip(LEAF_INTAKE.columns, written_row(LEAF_INTAKE, row, "es", names), strict=True))
    assert (english["on"], english["at"], english["town"], english["yards_yd3"]) == (
        "20 November 2025",
        "12:00",
        "Fallowdale",
        "20",
    )
    assert (english["outcome"], spanish["outcome"]) == ("taken after picking", "recibido tras sacar basura")
    assert (english["trash_items"], spanish["on"]) == ("glass, pieces of metal", "20 de noviembre de 2025")
    assert (english["spread_on"], english["worked_in_on"], english["hauler"]) == ("", "", "")


def test_what_was_worked_in_is_a_row_for_each_run_of_the_clock(pen):
    written = [pen.load("100", "2025-11-20"), pen.write(Work("spread"), "2025-11-22")]
    facts = standing(written).facts
    (running,) = worked_in(facts, [ground(pen, facts)])
    assert (running.worked_in_on, running.days, running.change) == (None, None, Word("running"))
    facts = standing([*written, pen.write(Work("disk"), "2026-04-30", by=pen.ben)]).facts
    (row,) = worked_in(facts, [ground(pen, facts)])
    assert (row.place, row.yards_yd3, row.covered_ac) == (pen.field, 100, 4)
    assert (row.days, row.work, row.by, row.change) == (159, (Word("disk"),), pen.ben, None)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("register", REGISTERS.values(), ids=list(REGISTERS))
def test_every_register_and_column_has_a_title(language, register):
    assert register.title(language)
    assert len(register.column_titles(language)) == len(register.columns)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_choice_of_a_load_has_a_word(language):
    hints = get_type_hints(Load)
    bags, trash = get_args(hints["bags"]), get_args(hints["trash"])
    items = get_args(get_args(hints["trash_items"])[0])
    words = [*get_args(hints["packing"]), *get_args(hints["outcome"]), *items]
    words += [*(f"bags_{one}" for one in bags), *(f"trash_{one}" for one in trash)]
    assert [word for word in words if not has(language, f"registers.word.{word}")] == []


@settings(max_examples=60)
@given(data=st.data())
def test_the_register_is_the_same_in_any_order_and_tells_every_yard_that_lies_on_the_field(new_pen, data):
    pen = new_pen()
    written = []
    for _ in range(data.draw(st.integers(1, 6))):
        place = data.draw(st.sampled_from([pen.field, pen.pile, pen.other_field]))
        written.append(pen.load(str(data.draw(st.integers(1, 30))), "2025-11-20", to=place))
        if data.draw(st.booleans()):
            written.append(pen.strike(written[-1]))
    shuffled = data.draw(st.permutations(written))
    assert rows(pen, shuffled) == rows(pen, written)
    here = sum(row.yards_yd3 for row in rows(pen, written) if row.to == pen.field and not row.struck)
    assert here == sum(one.yards_yd3 for one in fold(standing(written).facts, pen.land(), pen.zone).laid)
