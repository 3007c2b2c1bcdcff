"""What a field's plots are judged by: published bands, the height that was looked for, a laboratory's own levels."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

import pytest
from django.test import Client

from server.reading import reads as reading
from server.reading import writes
from server.reading.writes import Replaced
from server.registers import laboratory
from shared.languages import say
from shared.reckoning.soil_test import LABS
from shared.words.bodies.laboratory import Result, Sample
from shared.words.bodies.walked import Weeds
from tests.server.web.farmyard import Farmyard, days_before

RUTGERS_K = [bound.value for _, bound in LABS["rutgers"]["K"].steps]


def answered(yard: Farmyard, field, of: str, method: str, *values: tuple[str, str, str], on: datetime):
    bottom = Decimal(12 if of == "nitrate" else 7)
    sample = yard.write(
        Sample(of, lab="Thornfield Laboratory", top_in=Decimal(0), bottom_in=bottom), field=field, at=on
    )
    body = Result(
        sample.entry,
        "Thornfield Laboratory",
        method,
        tuple((name, Decimal(number), unit) for name, number, unit in values),
    )
    yard.write(body, field=field, at=on)
    return sample


def plots(yard: Farmyard, owner: Client, field) -> dict[str, object]:
    return {one.title: one for one in owner.get(yard.page("field", field)).context["plots"]}


def test_a_soil_test_stands_over_the_levels_of_the_laboratory_that_its_method_names(
    yard: Farmyard, owner: Client
):
    field = yard.ground.fields[0]
    k = ("k", "120", "lb/ac")
    answered(yard, field, "soil", "Mehlich 3, Rutgers levels", k, on=days_before(yard.at, 400))
    answered(yard, field, "soil", "Mehlich 3", k, on=days_before(yard.at, 30))
    titles = [one for one in plots(yard, owner, field) if one.startswith("K, ")]
    drawn = [one for one in owner.get(yard.page("field", field)).context["plots"] if one.title in titles]
    judged = [one for one in drawn if one.plot.stripes]
    assert len(drawn) == 2
    (one,) = judged
    assert [stripe.word for stripe in one.plot.stripes] == ["very low", "low", "medium", "high"]
    assert 120 in [point.value for point in one.plot.points]
    assert "Rutgers" in one.by
    (plain,) = [each for each in drawn if not each.plot.stripes]
    assert plain.by == say("en", "plots.no_band")


def test_a_nitrate_test_is_judged_by_a_figure_that_is_said_to_be_from_memory(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    answered(yard, field, "nitrate", "extract", ("Nitrate-N", "14", "ppm"), on=days_before(yard.at, 10))
    (one,) = [each for title, each in plots(yard, owner, field).items() if title.startswith("Nitrate-N")]
    assert [stripe.word for stripe in one.plot.stripes] == ["short", "enough"]
    assert one.by.endswith(say("en", "plots.from_memory"))


def test_an_answer_is_read_at_the_field_that_its_sample_was_put_in(yard: Farmyard):
    was, now_in = yard.ground.fields[:2]
    sample = answered(yard, was, "soil", "Mehlich 3", ("P", "80", "lb/ac"), on=days_before(yard.at, 10))
    farm = yard.ground.fresh()
    assert len(laboratory.known(farm, was)) == 1
    read = reading.of_entry(farm, sample.entry, yard.at)
    writes.correct(
        farm,
        yard.ground.owner.id,
        sample.entry,
        read.turn,
        Replaced(read.entry.body, now_in, "bagged over the lane"),
        yard.at,
    )
    assert laboratory.known(farm, was) == []
    assert [one.field for one in laboratory.known(farm, now_in)] == [now_in]
    assert laboratory.known(farm) == laboratory.known(farm, now_in)


def test_weeds_stand_over_their_classes_and_each_figure_has_its_interval(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard._round(field, [Weeds("none", "cover8", (one,)) for one in ("1-5", "5-25", "trace")], None)
    page = owner.get(yard.page("field", field))
    (one,) = [each for each in page.context["plots"] if each.title == say("en", "pages.plot.weed_cover")]
    assert [stripe.word for stripe in one.plot.stripes] == ["low", "medium", "high"]
    low, high = one.plot.points[0].ends
    told = say("en", "plots.from_to", low=f"{low:.1f}", high=f"{high:.1f}")
    assert told in page.content.decode()
    assert "Daubenmire" in page.content.decode()


def test_the_height_that_was_looked_for_stands_behind_the_stops(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    sown = days_before(yard.at, 40).date()
    yard.leg(field, "smother", sown, "sorghum-sudangrass")
    yard.cover_round(field, ["20", "22", "24"], at=days_before(yard.at, 5))
    (one,) = [
        each
        for title, each in plots(yard, owner, field).items()
        if title == say("en", "plots.cover_of_season")
    ]
    (curve,) = one.plot.curves
    days = curve.line.split(" ")
    assert len(days) > 20
    heights = [float(day.split(",")[1]) for day in days]
    assert heights == sorted(heights, reverse=True)
    assert [round(point.value) for point in one.plot.points] == [22]


@pytest.mark.parametrize("leg", ["hay", "cash"])
def test_a_field_that_never_had_a_smother_crop_has_no_such_curve(leg, yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.leg(field, leg, date(2025, 4, 1))
    yard.cover_round(field, ["20", "22"], at=days_before(yard.at, 5))
    assert say("en", "plots.cover_of_season") not in plots(yard, owner, field)
