"""The sentence after Save."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.languages import LANGUAGES, say
from shared.rules import sheets_in_force
from shared.status.leaf_room import RoomLeft
from shared.status.meaning import Told, meaning, room_meaning
from shared.status.standing import standing
from shared.words.bodies.gate import PileCheck
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover, Firmness, Ground, LeafDepth, Weeds
from shared.words.bodies.work import Work

FARM = sheets_in_force(["farm"])


def facts_of(pen, bodies):
    return standing([pen.write(body, round=pen.town, stop=stop) for stop, body in enumerate(bodies, 1)]).facts


def said(pen, *bodies, **told):
    """The English sentences for the last of these, walked one after the other."""
    *earlier, fact = facts_of(pen, bodies)
    return [say("en", one.key, **one.facts) for one in meaning(fact, Told(earlier=earlier, **told))]


def cover(height, heads="none", plant="sorghum_sudan", **told):
    return Cover(plant, Decimal(height), heads, **told)


def firm(psi, moisture="ready", where="body"):
    return Firmness("half_inch", moisture, where, peak_psi=Decimal(psi))


def test_31_in_is_tall_enough_to_mow_and_29_is_not(pen):
    assert said(pen, cover("31")) == ["31 in. Mow at 30 for weeds, before heads; leave 6 to 8 in."]
    assert said(pen, cover("29")) == ["29 in, 1 in short of mowing."]


def test_the_first_head_seen_says_mow_now_whatever_the_height(pen):
    assert said(pen, cover("25", "few"))[0].startswith("25 in, heads showing. Mow now")


def test_frost_on_a_sorghum_brings_the_feed_caution(pen):
    assert "not for feed for 7 days" in said(pen, cover("40", frost="light"))[1]
    assert len(said(pen, cover("40", plant="rye", frost="light"))) == 1


def test_timothy_is_cut_in_bloom_and_orchardgrass_at_boot(pen):
    assert "cutting now thins timothy" in said(pen, cover("30", plant="timothy", stage="heading"))[0]
    assert "time to cut" in said(pen, cover("30", plant="timothy", stage="bloom"))[0]
    assert "time to cut" in said(pen, cover("30", plant="orchardgrass", stage="boot"))[0]


def test_r15_five_of_twelve_over_300_is_too_few_to_say(pen):
    peaks = [120, 180, 250, 310, 320, 290, 330, 200, 210, 305, 340, 260]
    assert said(pen, *(firm(psi) for psi in peaks)) == ["5 of 12 over 300 psi: too few to say, 5 more stops."]


def test_r15_none_of_ten_needs_no_more_and_all_of_ten_is_a_hard_layer(pen):
    assert said(pen, *[firm(100)] * 10) == ["0 of 10 over 300 psi: not hard enough to act."]
    found = said(pen, *[firm(400)] * 10, under_sod=True)
    assert found[0] == "10 of 10 over 300 psi: a hard layer in half the field or more."
    assert "spade check first" in found[1]


def test_r15_a_hard_push_on_dry_ground_is_not_judged(pen):
    assert said(pen, firm(400, "dry")) == ["400 psi on ground too dry to judge. Come back when it is moist."]
    assert said(pen, firm(200), firm(210, "wet")) == [
        "210 psi on ground too wet to judge. Come back when it has drained.",
        "0 of 1 over 300 psi: too few to say, 8 more stops.",
    ]


def test_a_push_in_a_lane_is_kept_apart(pen):
    assert "kept apart" in said(pen, firm(500, where="lane"))[0]


def test_r1_a_stop_over_the_cap_is_a_spot_and_one_under_it_asks_for_ten(pen):
    assert said(pen, LeafDepth(Decimal("6.4"), "fresh"), sheets=FARM) == [
        "6.4 in here, over the sheet's 6: no more leaves on this spot, tell the manager."
    ]
    assert said(pen, LeafDepth(Decimal(6), "fresh"), sheets=FARM) == [
        "6 in, under the sheet's 6. 9 more stops for a word on the field."
    ]
    assert said(pen, LeafDepth(Decimal(6), "fresh"))[0].endswith("No rule sheet in force sets a depth.")


def test_r7_ten_thin_stops_are_within_when_fresh_and_can_not_be_said_when_settled(pen):
    assert said(pen, *[LeafDepth(Decimal(4), "fresh")] * 10, sheets=FARM) == [
        "4 in here, 4 in on average: within the sheet's 6."
    ]
    assert "can't say yet" in said(pen, *[LeafDepth(Decimal(4), "settled")] * 10, sheets=FARM)[0]


def test_r20_bearing_and_the_rule_are_two_sentences(pen):
    assert said(pen, Ground("snow"), sheets=FARM) == [
        "Stay off.",
        "The snow is too thin or loose to bear, and it hides the ground.",
        "A rule sheet bars spreading on ground like this.",
    ]
    assert said(pen, Ground("dry", axle_tons=Decimal(5)), sheets=FARM) == [
        "Fit to drive, as it is now.",
        "It is dry.",
    ]


def test_weeds_tell_the_round_so_far_and_seed_at_once(pen):
    found = said(
        pen,
        Weeds("none", scale="cover8", classes=("none",)),
        Weeds("some", scale="cover8", classes=("25-50", "25-50")),
    )
    assert found == [
        "Weeds are setting seed here: tell the manager today.",
        "Weeds medium: 18.75 % over 2 stops.",
    ]


def room(**told):
    given = {
        "room_yd3": 1226.7,
        "whole_loads": 61,
        "over_by_yd3": 0.0,
        "deepest_in": 3.7,
        "placed_yd3": 2000.0,
        "cap_in": 6.0,
    }
    return RoomLeft(**(given | {"closed": (), "yards_are": "truck"} | told))


def test_after_a_load_the_room_is_told_in_whole_loads_until_none_fits(pen):
    (fact,) = standing([pen.load("20")]).facts
    assert [say("en", one.key, **one.facts) for one in meaning(fact, Told(room=room()))] == [
        "1,226 yd³ left, about 61 like this."
    ]
    (full,) = room_meaning(room(room_yd3=12.0, whole_loads=0))
    assert (full.key, full.grave) == ("meaning.load.full", True)


@pytest.mark.parametrize("why", ["leg", "ground", "town_not_approved", "no_cap", "no_area"])
def test_a_closed_field_says_why(why):
    (one,) = room_meaning(room(closed=(why,)))
    assert all(say(language, one.key) for language in LANGUAGES)


@pytest.mark.parametrize(
    ("temp", "word"), [("160", "hot"), ("159", "warm"), ("141", "warm"), ("140", "cool")]
)
def test_a_piles_heat_says_what_to_do(pen, temp, word):
    (fact,) = facts_of(pen, [PileCheck(pen.pile, temp_f=Decimal(temp))])
    assert meaning(fact)[0].key == f"meaning.pile.{word}"


def test_spread_leaves_say_by_when_they_must_be_worked_in(pen):
    law = sheets_in_force(["new_jersey"])
    (fact,) = standing([pen.write(Work("spread"), "2025-11-22")]).facts
    (dated,) = meaning(fact, Told(sheets=law, zone=pen.zone, next_season_on=date(2026, 5, 15)))
    assert dated.facts == {"day": date(2026, 5, 15)}
    (open_,) = meaning(fact, Told(sheets=law, zone=pen.zone))
    assert open_.key == "meaning.work.work_in_later"


def test_a_kill_says_when_to_plant_and_a_low_cut_that_it_was_low(pen):
    killed, mown, high = standing(
        [
            pen.write(Work("kill"), "2026-05-01"),
            pen.write(Work("mow", stubble_in=Decimal(4)), "2026-07-01"),
            pen.write(Work("mow", stubble_in=Decimal(6)), "2026-07-01"),
        ]
    ).facts
    told = Told(zone=pen.zone)
    assert meaning(killed, told)[0].facts == {"early": date(2026, 5, 15), "late": date(2026, 5, 22)}
    assert meaning(mown, told)[0].key == "meaning.work.stubble"
    assert meaning(high, told) == ()


def test_a_spray_says_the_labels_plant_back_and_other_work_says_nothing(pen):
    sprayed, plain, limed = standing(
        [
            pen.write(Work("spray", plantback_d=120), "2026-05-01"),
            pen.write(Work("spray"), "2026-05-01"),
            pen.write(Work("lime", plantback_d=120), "2026-05-01"),
        ]
    ).facts
    told = Told(zone=pen.zone)
    assert meaning(sprayed, told)[0].facts == {"day": date(2026, 8, 29)}
    assert (meaning(plain, told), meaning(limed, told), meaning(sprayed)) == ((), (), ())


def test_a_figure_that_can_not_be_believed_is_told_and_judged_no_further(pen):
    (found,) = meaning(facts_of(pen, [cover("620")])[0])
    assert (found.key, found.grave) == ("meaning.doubtful", True)


def test_a_note_means_nothing_more_than_it_says(pen):
    assert meaning(facts_of(pen, [Note("wet")])[0]) == ()


BODIES = st.one_of(
    st.builds(
        Cover,
        st.sampled_from(["sorghum_sudan", "timothy", "orchardgrass", "rye"]),
        st.integers(0, 180).map(Decimal),
        st.sampled_from(["none", "few", "many"]),
        stage=st.sampled_from([None, "boot", "bloom", "jointing", "half out"]),
        frost=st.sampled_from([None, "none", "killing"]),
    ),
    st.builds(
        Firmness,
        st.just("half_inch"),
        st.sampled_from(["dry", "moist", "ready", "wet"]),
        st.sampled_from(["body", "lane"]),
        peak_psi=st.integers(0, 1000).map(Decimal),
    ),
    st.builds(LeafDepth, st.integers(0, 48).map(Decimal), st.sampled_from(["fresh", "rained"])),
    st.builds(Weeds, st.sampled_from(["none", "much"]), scale=st.just("cover8"), classes=st.just(("1-5",))),
    st.builds(
        Ground,
        st.sampled_from(["frozen", "dry", "moist", "wet", "standing_water", "snow"]),
        thread=st.sampled_from([None, "crumbles", "edge", "rolls", "smears"]),
        frost_in=st.sampled_from([None, Decimal(3), Decimal(6)]),
        axle_tons=st.sampled_from([None, Decimal(8), Decimal(12)]),
        tire_psi=st.sampled_from([None, Decimal(40)]),
    ),
)


@settings(max_examples=60)
@given(bodies=st.lists(BODIES, min_size=1, max_size=24), data=st.data())
def test_whatever_is_written_has_a_sentence_in_both_languages_in_any_order_of_the_round(
    new_pen, bodies, data
):
    pen = new_pen()
    *earlier, fact = facts_of(pen, bodies)
    told = Told(earlier=earlier, sheets=FARM, zone=pen.zone)
    again = Told(earlier=data.draw(st.permutations([*earlier, fact])), sheets=FARM, zone=pen.zone)
    found = meaning(fact, told)
    assert found
    assert meaning(fact, again) == found
    for one in found:
        assert all(say(language, one.key, **one.facts) for language in LANGUAGES)
