"""The reports on the web: a year on one page, on screen and as PDF."""

from __future__ import annotations

import io
from datetime import date
from decimal import Decimal
from uuid import UUID

from django.template.loader import render_to_string
from django.test import Client
from pypdf import PdfReader

from server.ahead.fertilizer_rows import add
from server.registers.laboratory import Answer, keep
from server.registers.press import pressed_all
from server.registers.reports.books import books_of
from server.registers.reports.rest_worth import rest_worth
from server.registers.reports.year import (
    CROPS,
    FIELDS,
    HAPPENED,
    JOBS,
    PAPERS,
    STEPS,
    TOWNS,
    Gap,
    Paper,
    Part,
    TownLine,
    YearPage,
    year_page,
)
from shared.ahead.fertilizer_sheet import row_of
from shared.ahead.moved import Moved
from shared.ahead.year_report import (
    Cropped,
    FieldLeaves,
    Hay,
    JobSum,
    RoundSum,
    YearReport,
)
from shared.status.gate import GateSheet
from shared.status.legs import OddStep
from shared.words.bodies.desk import Document, Plan
from shared.words.bodies.walked import Weeds
from shared.words.bodies.work import Work
from shared.words.leg import LEGS
from tests.server.web.farmyard import Farmyard, days_before, signed_in

LONG = "Meadow behind the old lime kiln by the upper ford "
"""So long a name that it takes more lines than any on a farm."""


def test_the_year_tells_land_leaves_work_hay_rounds_and_what_was_turned_back(yard: Farmyard, owner: Client):
    field, other = yard.ground.fields[:2]
    yard.leg(field, "cash", date(yard.at.year, 5, 20), "cabbage")
    yard.leg(other, "hay", date(yard.at.year - 2, 5, 20), "timothy")
    yard.loads(3, field)
    yard.load(None)
    cut = Work("cut_hay", Decimal("3.5"), bales=120, bale_lb=Decimal(40))
    yard.write_all(
        [yard.draft(cut, field=other), yard.draft(Work("spread", yards_yd3=Decimal(60)), field=field)]
    )
    yard.write(Document("notice", "Notice of leaf mulching", issued_on=days_before(yard.at, 1).date()))
    for ago, seen in ((380, "25-50"), (2, "trace")):
        yard._round(other, [Weeds("none", "cover8", (seen,)) for _ in range(4)], days_before(yard.at, ago))
    told = year_page(yard.ground.fresh(), yard.at.year, yard.at.date())
    assert [(one.crop, one.fields) for one in told.sums.crops] == [("cabbage", (told.leaves.rows[0].name,))]
    assert told.gate.taken == 3
    assert told.gate.turned_back == 1
    assert told.reasons == [("plastic", 1)]
    assert told.leaves.rows[0].yards_yd3 == told.leaves.rows[0].spread_yd3 == Decimal(60)
    assert told.leaves.rows[0].worked_on is None
    assert told.sums.hay == Hay(1, 3.5, 120, 2.4, 0)
    assert [(one.measure, one.word) for one in told.moved.rows] == [("weeds", "fell")]
    assert {one.key for one in told.gaps} >= {"no_weather", "no_soil_test", "no_round"}
    page = owner.get(yard.page("report_year", yard.at.year)).content.decode()
    for words in (
        "cabbage",
        "Fallowdale",
        "Weeds fell",
        "120 bales, 2.4 tons",
        "Notice of leaf mulching",
    ):
        assert words in page, words
    assert f"The year {yard.at.year}" in page


def test_a_year_with_nothing_in_it_says_so_and_one_that_never_was_is_no_page(yard: Farmyard, owner: Client):
    yard.leg(yard.ground.fields[0], "hay", date(yard.at.year - 4, 5, 1), "timothy")
    page = owner.get(yard.page("report_year", yard.at.year - 4)).content.decode()
    assert "Nothing was written in this year" in page
    assert "No load came to the gate." in page
    assert owner.get(yard.page("report_year", 1987)).status_code == 404
    assert owner.get(yard.page("report_year_pdf", 1987)).status_code == 404
    assert str(yard.at.year) in owner.get(yard.page("reports")).content.decode()


LAST_EN = ("Ground gone over twice counts twice", "The registers have each figure")
LAST_ES = ("Lo que se pasó dos veces", "Los registros tienen cada cifra")


def full() -> YearPage:
    """As much as the page ever tells, each name as long as can be."""
    leaves = FieldLeaves(
        LONG * 2, 44.4, Decimal(12345), Decimal(12345), date(2026, 11, 30), date(2026, 12, 30)
    )
    moved = Moved(
        LONG * 2, "weeds", date(2025, 9, 1), (100.0, 99.0, 100.0), date(2026, 9, 1), (50.0, 40.0, 60.0)
    )
    happened = ("fire", "hot_pile", "injury", "complaint", "blown_leaves", "trash_found")
    measures = ("cover", "weeds", "firmness", "leaf_depth")
    sums = YearReport(
        year=2026,
        last=date(2026, 12, 31),
        fields=500,
        acres=9876.5,
        unmeasured=3,
        cash_ac=1975.3,
        crops=(),
        legs=tuple((leg, 999.9) for leg in (*LEGS, "unknown")),
        leaves=(),
        jobs=(),
        hay=Hay(300, 5000.0, 99999, 4999.9, 400),
        rounds=tuple(RoundSum(one, 999, 9999, 500) for one in measures),
        moved=(),
        odd=(),
        happened=(),
        doubtful=7,
        walked=0,
        tested=0,
    )
    moves = [(one, word, 99) for one in ("weeds", "firmness") for word in ("fell", "rose", "can_not_say")]
    lacks = ("no_round", "no_soil_test", "no_weather", "not_spread", "no_acres", "doubtful")
    return YearPage(
        sums=sums,
        gate=GateSheet((), (), 9999, 99, Decimal(99999), ()),
        towns=Part([TownLine(LONG, 999, Decimal(9999), 99)] * TOWNS, 40),
        leaves=Part([leaves] * FIELDS, 480),
        rest_of_leaves=leaves,
        crops=Part([Cropped(LONG, 99.9, (LONG,) * 30)] * CROPS, 4),
        jobs=Part([JobSum(one, 99, 999.9, 1) for one in ("spread", "work_in", "cut_hay", "harvest") * 3][:JOBS], 12),
        moved=Part([moved] * 10, 400),
        moves=tuple(moves),
        odd=Part([(LONG, OddStep("harvest_without_crop", date(2026, 8, 1), "hay"))] * STEPS, 90),
        happened=Part([(one, 99) for one in happened][:HAPPENED], 2),
        reasons=[(one, 99) for one in ("glass", "plastic", "metal", "animal_waste", "container")],
        papers=Part([Paper(LONG * 3, "notice", date(2026, 1, 1), date(2027, 1, 1))] * PAPERS, 60),
        entries=99999,
        gaps=[Gap(one, 480, 500) for one in lacks],
    )  # fmt: skip


def test_the_year_is_one_printed_page_however_much_there_is_to_tell(yard: Farmyard):
    desk = {"farm": yard.ground.farm, "today": date(2027, 1, 2), "print": True, "look": "year", "year": 2026}
    desk |= {"body": "web/report_year_body.html"}
    empty = year_page(yard.ground.farm, yard.at.year, yard.at.date())
    pages = [
        render_to_string("web/report_paper.html", desk | {"told": told, "language": language})
        for told, language in ((full(), "en"), (full(), "es"), (empty, "es"))
    ]
    for made, last in zip(pressed_all(pages), (LAST_EN, LAST_ES, LAST_ES[1:]), strict=True):
        (only,) = PdfReader(io.BytesIO(made)).pages
        words = " ".join(only.extract_text().split())
        for one in last:
            assert one in words, one


def test_in_spanish_the_reports_say_the_same(yard: Farmyard):
    client = signed_in(yard.hand("Ilex Marl", "owner", "es"))
    assert "Informes" in client.get(yard.page("reports")).content.decode()
    assert "Hojas en la entrada" in client.get(yard.page("report_year", yard.at.year)).content.decode()


def soil(yard: Farmyard, field: UUID, years: dict[int, str], **more: str) -> None:
    """Soil tests of organic matter, each by years before now."""
    told = {"lab": "Fennel Ridge", "method": "Mehlich 3"} | more

    def on(ago: int) -> date:
        return days_before(yard.at, 365 * ago).date()

    answers = [
        Answer(field, on(ago), "soil", told["lab"], told["method"], (("OM", Decimal(value), "%"),))
        for ago, value in years.items()
    ]
    keep(yard.ground.farm, yard.ground.owner.id, answers, yard.at)


def test_what_a_rest_was_worth_keeps_the_measured_from_the_modelled_and_claims_no_gain_within_the_error(
    yard: Farmyard, owner: Client
):
    field, other = yard.ground.fields[:2]
    for one in (field, other):
        yard.leg(one, "cash", date(yard.at.year - 5, 5, 20), "cabbage")
        yard.leg(one, "hay", date(yard.at.year - 4, 5, 1), "timothy")
    soil(yard, field, {4: "2.8", 3: "2.9", 2: "3.0", 1: "3.1", 0: "3.1"})
    soil(yard, other, {4: "2.5", 0: "3.4"})
    soil(yard, other, {3: "9.9"}, lab="Another Laboratory")
    for ago, seen in ((900, "50-75"), (600, "25-50"), (300, "5-25"), (10, "trace")):
        yard._round(field, [Weeds("none", "cover8", (seen,)) for _ in range(4)], days_before(yard.at, ago))
    yard.loads(2, field, at=days_before(yard.at, 1000))
    told = {one.name: one for one in rest_worth(yard.ground.fresh(), yard.at.date()).fields}
    names = {one.id: one.name for one in books_of(yard.farm)}
    mine, its = (told[names[one]] for one in (field, other))
    (om,) = mine.soil_of("om")
    assert (om.was, om.now, om.within_error, om.word) == (2.8, 3.1, True, "can_not_say")
    (om,) = its.soil_of("om")
    assert (om.was, om.now, om.within_error, om.word) == (2.5, 3.4, False, "too_few")
    assert mine.of("weeds").word == "falls"
    assert mine.leaves_yd3 == Decimal(40)
    assert 0 < mine.modelled.left_pct.low < mine.modelled.left_pct.high < 100
    assert its.modelled is None
    assert set(its.lacks) == {"no_weeds", "no_firmness", "no_leaves"}
    page = owner.get(yard.page("report_worth")).content.decode()
    said = ("within the error of two tests", "more than the error of two tests", "Modelled from published")
    for words in (*said, "no two weed rounds", "The plan has no cash crop to come."):
        assert words in page, words


def test_a_farm_on_which_nothing_ever_rested_is_told_so(yard: Farmyard, owner: Client):
    page = owner.get(yard.page("report_worth")).content.decode()
    assert "No field has rested after a cash crop yet" in page
    assert page.count("no rest after a cash crop is in the book") == len(yard.ground.fields)


def test_fertilizer_not_bought_is_told_only_where_the_growers_own_tables_say_it(
    yard: Farmyard, owner: Client
):
    field = yard.ground.fields[0]
    years = ((yard.at.year + 1, "cash", "cabbage"),)
    yard.write(Plan(UUID(int=7), "by hand", years), field=field)
    page = owner.get(yard.page("report_worth")).content.decode()
    assert "Nothing can be said: 0 of 1 crops known" in page
    told = {"crop": "cabbage", "amount": "160", "source": "Marsh County table", "dated": "2026-01-05"}
    checked = [row_of("rates", told | {"nutrient": one}) for one in ("N", "P2O5", "K2O")]
    assert [faults for _, faults in checked] == [(), (), ()]
    add(yard.farm, "rates", [row for row, _ in checked], yard.ground.owner.id, yard.at)
    page = owner.get(yard.page("report_worth")).content.decode()
    assert "Need not be bought" in page
    assert "1 of 1 crops known" in page
