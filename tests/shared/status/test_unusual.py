"""Why an entry is unusual at the evening reading."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.languages import LANGUAGES, say
from shared.rules import sheets_in_force
from shared.status.standing import standing
from shared.status.unusual import Reading, Unusual, beyond_belief, robust_z, unusual
from shared.words.bodies.gate import Load
from shared.words.bodies.walked import Cover, Firmness, LeafDepth
from shared.words.entry import Photo
from shared.words.place import Polygon, Position

FARM = sheets_in_force(["farm"])
OUTLINE = (Polygon(((40.0, -75.0), (40.0, -74.999), (40.001, -74.999), (40.001, -75.0))),)
PICTURE = Photo("ab" * 32, 1000, "image/jpeg")


def codes(pen, written, today="2026-06-02", history=(), **told):
    (fact,) = standing([written]).facts
    read = Reading(date.fromisoformat(today), pen.zone, standing(history).facts, **told)
    found = unusual(fact, read)
    for one in found:
        assert all(say(language, one.key, **one.facts) for language in LANGUAGES)
    return [one.code for one in found]


def cover(height):
    return Cover("sorghum_sudan", Decimal(height), "none")


def test_a_cover_of_620_in_is_hard_to_believe_and_one_of_62_is_not(pen):
    assert codes(pen, pen.write(cover("620"))) == ["outside"]
    assert codes(pen, pen.write(cover("62"))) == []
    (one,) = beyond_belief(cover("620"))
    assert (one.facts["key"], one.facts["value"], one.facts["high"]) == ("height_in", 620, 180)


def test_a_stop_far_from_the_others_of_its_round_is_told_and_an_earlier_round_does_not_count(pen):
    others = [pen.write(cover(height), round=pen.town) for height in ("60", "62", "61", "63", "60", "64")]
    assert codes(pen, pen.write(cover("16"), round=pen.town), history=others) == ["far_off_height"]
    assert codes(pen, pen.write(cover("65"), round=pen.town), history=others) == []
    assert codes(pen, pen.write(cover("16"), round=pen.pile), history=others) == []
    assert codes(pen, pen.write(cover("16"), round=pen.town), history=others[1:]) == []


def test_a_push_far_from_this_fields_history_is_told_and_another_fields_does_not_count(pen):
    def firm(psi, **told):
        return pen.write(Firmness("half_inch", "ready", "body", peak_psi=Decimal(psi)), **told)

    history = [firm(psi) for psi in (150, 160, 170, 155, 165, 158)]
    assert codes(pen, firm(600), history=history) == ["far_off_psi"]
    assert codes(pen, firm(180), history=history) == []
    assert codes(pen, firm(600, field=pen.other_field), history=history) == []


def test_a_load_far_from_what_its_truck_brings_is_told(pen):
    history = [pen.load(str(yards), vehicle=pen.part) for yards in (20, 20, 19, 20, 18, 20)]
    assert codes(pen, pen.load("60", vehicle=pen.part), history=history) == ["far_off_yards"]
    assert codes(pen, pen.load("60", vehicle=pen.second_part), history=history) == []


def test_loads_of_no_known_truck_and_ones_turned_back_are_not_compared(pen):
    nameless = [pen.load(str(yards)) for yards in (20, 20, 19, 20, 18, 20)]
    assert codes(pen, pen.load("60"), history=nameless) == []
    known = [pen.load(str(yards), vehicle=pen.part) for yards in (20, 20, 19, 20, 18, 20)]
    back = pen.load("60", vehicle=pen.part, outcome="turned_back", reason="bags", photos=(PICTURE,))
    assert codes(pen, back, "2025-11-21", history=known) == []


def test_a_struck_value_is_no_history(pen):
    others = [pen.write(cover(height), round=pen.town) for height in ("60", "62", "61", "63", "60", "64")]
    struck = [*others, pen.strike(others[0])]
    assert codes(pen, pen.write(cover("16"), round=pen.town), history=struck) == []


def test_over_a_rule_brings_the_rules_own_finding(pen):
    (fact,) = standing([pen.write(LeafDepth(Decimal("6.4"), "fresh"))]).facts
    (found,) = unusual(fact, Reading(date(2026, 6, 2), pen.zone, sheets=FARM))
    assert (found.code, found.finding.code, found.finding.value) == ("over_rule", "depth_spot", 6.4)
    assert codes(pen, pen.write(LeafDepth(Decimal(6), "fresh")), sheets=FARM) == []


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        ({}, []),
        ({"trash": "picked", "trash_gal": Decimal(200)}, []),
        ({"trash": "over", "trash_gal": Decimal(300)}, ["over_rule"]),
        ({"trash": "over", "trash_gal": Decimal(39_000)}, []),
        ({"grass_pct": Decimal(10)}, []),
        ({"grass_pct": Decimal(11)}, ["over_rule"]),
        ({"bags": "few"}, []),
        ({"bags": "many"}, ["over_rule"]),
    ],
)
def test_a_taken_load_is_held_against_the_sheets_trash_grass_and_bags(pen, told, expected):
    assert codes(pen, pen.load("20", **told), today="2025-11-21", sheets=FARM) == expected


def at(lat, lon, r68="5"):
    return Position(Decimal(lat), Decimal(lon), Decimal(r68) if r68 else None, None, "gps")


def test_an_entry_is_off_the_field_only_beyond_what_its_position_may_be_out(pen):
    inside, near, far = at("40.0005", "-74.9995"), at("40.00105", "-74.9995"), at("40.0012", "-74.9995")
    assert [codes(pen, pen.write(cover("60"), at=one), outline=OUTLINE) for one in (inside, near, far)] == [
        [],
        [],
        ["off_the_field"],
    ]
    assert codes(pen, pen.write(cover("60"), at=at("40.00105", "-74.9995", None)), outline=OUTLINE) == [
        "off_the_field"
    ]
    assert codes(pen, pen.write(cover("60"), at=far)) == []


def test_a_load_is_written_at_the_gate_and_so_never_off_the_field_that_it_goes_to(pen):
    at_the_gate = pen.load("20", at=at("40.0100", "-74.9995"))
    assert codes(pen, at_the_gate, today="2025-11-21", outline=OUTLINE) == []


@pytest.mark.parametrize(
    ("skew", "expected"),
    [(None, []), (300_000, []), (300_001, ["clock_ahead"]), (-300_001, ["clock_behind"])],
)
def test_w16_a_clock_more_than_five_minutes_off_is_told(pen, skew, expected):
    assert codes(pen, pen.write(cover("60")), skew_ms=skew) == expected


def test_w15_a_photo_is_missed_after_seven_days(pen):
    wrote = pen.write(cover("60"), "2026-06-01", photos=(PICTURE,))
    assert codes(pen, wrote, today="2026-06-07") == []
    assert codes(pen, wrote, today="2026-06-08") == ["photo_missing"]
    assert codes(pen, wrote, today="2026-06-08", photos_here={PICTURE.sha256}) == []


def test_a_load_turned_back_wants_a_photo(pen):
    back = pen.load("20", outcome="turned_back", reason="bags")
    assert codes(pen, back) == ["turned_back_without_photo"]
    assert (
        codes(pen, pen.load("20", outcome="turned_back", reason="bags", photos=(PICTURE,)), "2025-11-21")
        == []
    )


def test_robust_z_is_the_published_one():
    before = [2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6]
    assert robust_z(8.2, before) == pytest.approx(0.6745 * (8.2 - 2.35) / 0.2)
    assert robust_z(9, [5, 5, 5, 5, 5, 5]) is None
    assert robust_z(9, [5, 5, 5, 5, 5, 6]) == pytest.approx(4 / (1.253314 / 6))
    assert robust_z(9, [5, 6, 5, 6, 5]) is None


@settings(max_examples=60)
@given(values=st.lists(st.integers(0, 900), min_size=0, max_size=12), data=st.data())
def test_the_order_of_history_changes_no_reason(new_pen, values, data):
    pen = new_pen()

    def firm(psi):
        return pen.write(Firmness("half_inch", "ready", "body", peak_psi=Decimal(psi)))

    history = standing([firm(value) for value in values]).facts
    (fact,) = standing([firm(data.draw(st.integers(0, 900)))]).facts
    shuffled = data.draw(st.permutations(history))
    read = Reading(date(2026, 6, 2), pen.zone, history)
    found = unusual(fact, read)
    assert unusual(fact, Reading(date(2026, 6, 2), pen.zone, [*shuffled, fact])) == found
    assert all(isinstance(one, Unusual) and one.code == "far_off_psi" for one in found)


def test_a_load_that_can_not_be_believed_is_judged_by_no_rule(pen):
    body = pen.load("20", bags="many").entry.body
    wild = Load(
        **({name: getattr(body, name) for name in Load.__dataclass_fields__} | {"grass_pct": Decimal(300)})
    )
    assert codes(pen, pen.write(wild), sheets=FARM) == ["outside"]
