"""Every kind of due once: its three days, that it says why and what would change it, and what meets it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any, get_args

import pytest

from shared.languages import LANGUAGES
from shared.rules import own_sheet, sheets_in_force
from shared.status.due import (
    FarmToday,
    FieldToday,
    Forecast,
    Foresight,
    SoilByAir,
    due_words,
    farm_dues,
    field_dues,
)
from shared.status.field_status import fold
from shared.status.piles import pile_status
from shared.status.standing import standing
from shared.words.bodies.desk import Document
from shared.words.bodies.gate import PileCheck
from shared.words.bodies.laboratory import Sample
from shared.words.bodies.walked import Cover, Firmness, LeafDepth, Weeds
from shared.words.bodies.work import Work
from shared.words.due import Due, DueJob
from shared.words.moment import Moment
from shared.words.verdict import Asked

JERSEY = sheets_in_force(["new_jersey"])
NOTICE = own_sheet(
    'name = "own_notice"\ntitle = "own"\nauthority = "the county"\nedition = "1"\nforce = "local"\n'
    'read_on = "2026-11"\n[notice_days_before]\nvalue = 30\ncitation = "invented"\nstanding = "read"\n',
    "own.toml",
)
TOLD_ELSEWHERE = {"lime", "other"}
"""Lime has a file of its own; *other* is what the desk adds in words."""


@dataclass(frozen=True)
class Case:
    """What the book says, on which day, the three days that follow, and the entries that meet it."""

    job: str
    on: str
    days: tuple[str | None, str | None, str | None]
    written: Callable[[Any], Sequence[Any]]
    met: Callable[[Any], Sequence[Any]]
    told: dict[str, Any]
    later: str | None = None


def case(job, on, days, written, met=lambda pen: (), later=None, **told) -> Case:
    return Case(job, on, days, written, met, told, later)


def spread(pen):
    return [pen.load("100", "2025-11-20"), pen.write(Work("spread"), "2025-11-22")]


def worked_in(pen):
    return [*spread(pen), pen.write(Work("work_in"), "2026-05-04")]


def sudan(pen):
    return [pen.write(Work("seed", crop="sorghum_sudan"), "2026-05-25")]


def walked(pen, bodies, day):
    return [pen.write(body, day, round=pen.second_town, stop=stop) for stop, body in enumerate(bodies, 1)]


def desk(pen, body, day):
    return [pen.write(body, day, at_desk=True, field=None)]


def piled(pen):
    return [pen.load("100", "2025-11-20", to=pen.pile)]


def drawn(pen):
    return [pen.write(Work("spread", from_=(pen.pile,), yards_yd3=Decimal(100)), "2026-01-14")]


AIR = SoilByAir(date(2026, 5, 31), 61.0, 64.0)
MOW = Forecast(date(2026, 7, 2), date(2026, 7, 8), date(2026, 7, 16))
BOOT = Forecast(date(2026, 7, 1), date(2026, 7, 11), date(2026, 7, 21))
HAY = Forecast(date(2026, 5, 3), date(2026, 5, 18), date(2026, 6, 2))
FIRM = [Firmness("half_inch", "ready", "body", peak_psi=Decimal(100))] * 12

CASES = (
    case("work_in", "2026-04-01", ("2025-11-22", None, "2026-09-30"), spread,
         lambda pen: [pen.write(Work("work_in"), "2026-04-01")], next_season_on=date(2026, 9, 30)),
    case("spread", "2025-11-21", ("2025-11-20", None, None), lambda pen: [pen.load("20", "2025-11-20")],
         lambda pen: [pen.write(Work("spread"), "2025-11-21")], sheets=()),
    case("depth_round", "2025-11-23", ("2025-11-22", "2025-11-22", "2025-11-24"), spread,
         lambda pen: walked(pen, [LeafDepth(Decimal(5), "fresh")], "2025-11-23")),
    case("mow", "2026-06-25", ("2026-07-01", "2026-07-08", "2026-07-11"), sudan,
         lambda pen: [pen.write(Work("plow"), "2026-06-25")], ahead=Foresight(mow=MOW, boot=BOOT)),
    case("cut_hay", "2026-05-01", ("2026-05-03", "2026-05-18", "2026-06-02"),
         lambda pen: [pen.write(Work("seed", crop="orchardgrass"), "2024-08-20")],
         lambda pen: [pen.write(Work("cut_hay"), "2026-10-01")], later="2026-10-02", ahead=Foresight(hay=HAY)),
    case("seed", "2026-06-01", ("2026-05-25", "2026-06-30", "2026-07-15"), worked_in,
         lambda pen: [pen.write(Work("seed", crop="sorghum_sudan"), "2026-06-01")], ahead=Foresight(soil=AIR)),
    case("plant", "2026-05-05", ("2026-05-15", "2026-05-22", None),
         lambda pen: [pen.write(Work("seed", crop="rye"), "2025-09-20"), pen.write(Work("kill"), "2026-05-01")],
         lambda pen: [pen.write(Work("plant", crop="cabbage"), "2026-05-20")]),
    case("cover_round", "2026-06-10", ("2026-06-12", "2026-06-15", "2026-06-18"), sudan,
         lambda pen: [pen.write(Work("plow"), "2026-06-10")]),
    case("weed_round", "2026-06-10", ("2026-06-01", "2026-07-01", "2026-07-31"), sudan,
         lambda pen: walked(pen, [Weeds("none", "cover8", ("none",))] * 4, "2026-06-10")),
    case("firmness_round", "2026-06-10", ("2026-03-15", None, None), sudan,
         lambda pen: walked(pen, FIRM, "2026-06-10")),
    case("sample_soil", "2026-06-10", ("2026-01-01", None, "2026-12-31"), lambda pen: [],
         lambda pen: [pen.write(Sample("soil"), "2026-06-10")]),
    case("nitrate_test", "2027-06-01", ("2027-05-31", "2027-06-07", "2027-06-21"),
         lambda pen: [*worked_in(pen), pen.write(Work("plant", crop="sweet corn"), "2027-05-10")],
         lambda pen: [pen.write(Sample("nitrate"), "2027-06-01")]),
    case("organic_end", "2026-06-10", ("2026-09-01", "2026-09-01", None), lambda pen: [], later="2026-09-01",
         land={"organic_from": date(2026, 9, 1)}),
    case("pile_check", "2025-11-25", ("2025-11-20", "2025-12-05", "2025-12-05"), piled, drawn),
    case("notice", "2026-08-01", ("2026-07-17", "2026-08-16", "2026-09-15"), lambda pen: [],
         lambda pen: desk(pen, Document("notice", "Notice", issued_on=date(2026, 8, 1)), "2026-08-01"),
         sheets=[NOTICE], leaves_from=date(2026, 10, 15)),
    case("report", "2026-01-15", ("2026-01-01", "2026-02-01", "2026-03-01"), lambda pen: [],
         lambda pen: desk(pen, Document("report", "Leaves 2025", issued_on=date(2026, 1, 12)), "2026-01-12"),
         years={2025}),
    case("paper", "2026-01-15", ("2025-12-03", "2026-01-02", "2026-02-01"),
         lambda pen: desk(pen, Document("plan", "Plan", expires_on=date(2026, 2, 1)), "2025-02-01"), None),
    case("answer", "2026-06-02", ("2026-06-01", "2026-06-01", None), lambda pen: [], asked=True),
)  # fmt: skip


def asked(pen):
    at = Moment("2026-06-01T20:00:00Z", datetime(2026, 6, 1, 20, tzinfo=UTC))
    return Asked(pen.town, pen.pile, pen.ana, None, "Which part?", at, False)


def dues(pen, one: Case, written, on) -> list[Due]:
    """All dues of the field and of the farm, as the book then stands."""
    told, today = one.told, date.fromisoformat(on)
    sheets, land = told.get("sheets", JERSEY), pen.land(**told.get("land", {}))
    facts = standing(written).facts
    ask = FieldToday(
        fold(facts, land, pen.zone),
        land,
        sheets,
        today,
        told.get("next_season_on"),
        told.get("ahead", Foresight()),
    )
    waits = [asked(pen)] if told.get("asked") and on == one.on else []
    yard = FarmToday(
        today, sheets, [pile_status(pen.pile, facts, pen.zone)], facts, told.get("years", ()), waits,
        told.get("leaves_from"),
    )  # fmt: skip
    return [due for due in (*field_dues(ask), *farm_dues(yard)) if due.job == one.job]


def texts(due: Due) -> tuple[str | None, ...]:
    return tuple(None if day is None else day.isoformat() for day in (due.earliest, due.best, due.last))


@pytest.mark.parametrize("one", CASES, ids=[one.job for one in CASES])
def test_a_due_has_its_days_says_why_and_what_would_change_it_and_its_entries_meet_it(pen, one):
    written = list(one.written(pen))
    (due,) = dues(pen, one, written, one.on)
    assert texts(due) == one.days
    for language in LANGUAGES:
        words = due_words(due, language)
        assert all((words.job, words.why, words.change))
    if one.job == "paper":
        renewed = desk(pen, Document("plan", "Plan", expires_on=date(2027, 2, 1)), "2026-01-15")
        assert [each.id for each in dues(pen, one, [*written, *renewed], one.on)] != [due.id]
        return
    later = one.later or ("2026-06-03" if one.told.get("asked") else one.on)
    assert due.id not in {each.id for each in dues(pen, one, [*written, *one.met(pen)], later)}


def test_the_table_has_every_kind_of_due():
    assert {one.job for one in CASES} == set(get_args(DueJob)) - TOLD_ELSEWHERE


def test_a_pile_check_meets_the_check_and_a_pile_spread_meets_the_spreading(pen):
    (check,) = dues(pen, CASES[[one.job for one in CASES].index("pile_check")], piled(pen), "2025-11-25")
    looked = pen.write(PileCheck(pen.pile, temp_f=Decimal(90)), "2025-11-25")
    again = dues(
        pen, CASES[[one.job for one in CASES].index("pile_check")], [*piled(pen), looked], "2025-11-25"
    )
    assert check.id not in {one.id for one in again}


def test_a_cover_round_meets_the_weekly_look_and_sets_the_next(pen):
    one = CASES[[each.job for each in CASES].index("cover_round")]
    (first,) = dues(pen, one, sudan(pen), one.on)
    seen = walked(pen, [Cover("sorghum_sudan", Decimal(12), "none")] * 4, "2026-06-14")
    (second,) = dues(pen, one, [*sudan(pen), *seen], "2026-06-15")
    assert second.id != first.id
    assert texts(second)[1] == "2026-06-21"
