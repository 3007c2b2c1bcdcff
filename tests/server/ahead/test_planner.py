"""The planner against every plan there is, against tables in print, and over why there is no plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.ahead.many import planned, proposals, why_not
from server.ahead.model import model_of
from server.ahead.planner import best
from shared.ahead.crops import usual_crop
from shared.ahead.plan_check import breaches, year_sums
from shared.ahead.wishes import EMPHASES, Ground, Weights, Wishes
from tests.server.ahead.small_farms import grown, least_cost

FIRST = 2027
CROPS = ("cabbage", "winter squash")
WEIGHTS = Weights()


@st.composite
def farms(draw: st.DrawFn) -> tuple[tuple[Ground, ...], Wishes]:
    grounds = []
    for place in range(2):
        past = draw(st.lists(st.tuples(st.sampled_from(CROPS), st.integers(2020, 2026)), max_size=2))
        cropped_now = any(year == FIRST - 1 for _, year in past)
        before = "cash" if cropped_now else draw(st.sampled_from(("leaf", "hay", "smother", "lead_in")))
        present = draw(st.dictionaries(st.integers(FIRST, FIRST + 2), st.just(("hay", "")), max_size=2))
        pinned = draw(
            st.dictionaries(
                st.just(FIRST + 1), st.sampled_from((("hay", ""), ("cash", "cabbage"))), max_size=1
            )
        )
        grounds.append(
            Ground(
                f"f{place}",
                f"F{place}",
                float(draw(st.integers(1, 4))),
                (before, ""),
                tuple(grown(crop, year) for crop, year in past),
                organic_from=draw(st.sampled_from((None, date(2025, 1, 1)))),
                lease_end=draw(st.sampled_from((None, None, date(2028, 12, 31), date(2028, 8, 1)))),
                plantback=draw(st.sampled_from((None, date(2027, 6, 1)))),
                present=present,
                pinned=pinned,
            )
        )
    crops = tuple(
        usual_crop(one, organic=draw(st.booleans()), want_ac=draw(st.sampled_from((0, 2)))) for one in CROPS
    )
    wishes = Wishes(
        FIRST,
        crops,
        count=3,
        share_pct=draw(st.sampled_from((20.0, 50.0))),
        within_pct=draw(st.sampled_from((20.0, 50.0))),
        rest_years=draw(st.integers(0, 2)),
        yards=draw(st.sampled_from((None, 1700.0))),
        organic_yards=draw(st.sampled_from((None, 0.0, 1700.0))),
        hay_ac=draw(st.sampled_from((0.0, 2.0))),
        hay_must=draw(st.booleans()),
        hay_least=draw(st.integers(1, 2)),
        lead_in=draw(st.booleans()),
        longest=draw(st.booleans()),
    )
    return tuple(grounds), wishes


@settings(max_examples=25)
@given(farms())
def test_the_plan_costs_what_the_best_of_all_plans_costs_and_there_is_none_where_there_is_none(farm):
    grounds, wishes = farm
    least = least_cost(grounds, wishes, WEIGHTS)
    found = best(model_of(grounds, wishes), WEIGHTS, gap=0.0)
    if least is None:
        assert found is None
        return
    assert found is not None
    assert breaches(grounds, wishes, found.plan) == ()
    assert found.cost == pytest.approx(least, abs=1e-6)
    assert found.bound <= found.cost + 1e-6


@settings(max_examples=15)
@given(farms())
def test_by_courses_there_is_a_plan_just_where_there_is_one_and_its_bound_is_under_the_best_of_all(farm):
    grounds, wishes = farm
    least = least_cost(grounds, wishes, WEIGHTS)
    found = planned(grounds, wishes, WEIGHTS)
    if least is None:
        assert found is None
        assert why_not(grounds, wishes) is not None
        return
    assert found is not None
    assert breaches(grounds, wishes, found.plan) == ()
    assert found.bound <= least + 1e-6
    assert least <= found.cost + 1e-6
    assert found.cost <= least * 1.02 + 0.1


TABLE = [
    ("cabbage", "cabbage", ("clubroot",), 8),
    ("cabbage", "broccoli", ("black_rot",), 3),
    ("cabbage", "cabbage", ("blackleg",), 4),
    ("tomato", "pepper", ("verticillium",), 5),
    ("winter squash", "pepper", ("phytophthora_capsici",), 4),
    ("snap beans", "pumpkin", ("phytophthora_capsici",), 4),
    ("beet", "chard", ("cercospora",), 4),
    ("lettuce", "lettuce", ("lettuce_drop",), 4),
    ("winter squash", "melon", ("scab",), 3),
    ("sweet corn", "sweet corn", ("yellow_leaf_blight",), 4),
    ("asparagus", "asparagus", ("fusarium",), None),
    ("garlic", "cabbage", ("clubroot",), 1),
]
"""After a crop in 2026: how many years later another may first stand, from the years without a host that the
University of Connecticut's IPM pages and Rutgers' sheet on Phytophthora capsici print."""


def cropped(ground: Ground, wishes: Wishes) -> dict[int, str]:
    """The crops of the plan with as many cash years as there can be."""
    found = best(model_of((ground,), wishes), Weights(leaf=0.0), gap=0.0)
    assert found is not None
    return {year: use[1] for year, use in found.plan[ground.id].items() if use[0] == "cash"}


ALONE = Wishes(FIRST, (), rest_years=0, lead_in=False, share_pct=100.0, within_pct=100.0)
"""Nothing is wished but the years without a host."""


@pytest.mark.parametrize(("crop", "then", "kept", "later"), TABLE)
def test_a_crop_comes_back_when_the_printed_table_lets_it(crop, then, kept, later):
    ground = Ground("a", "A", 4.0, ("cash", crop), (grown(crop, 2026),))
    wishes = replace(ALONE, crops=(usual_crop(then),), intervals=kept)
    if later is None:
        assert cropped(ground, wishes) == {}
        return
    assert cropped(ground, replace(wishes, count=later)).get(2026 + later) == then
    if later > 1:
        assert cropped(ground, replace(wishes, count=later - 1)) == {}


def test_the_longest_advice_waits_longer_than_the_shortest():
    ground = Ground("a", "A", 4.0, ("cash", "winter squash"), (grown("winter squash", 2026),))
    short = Wishes(
        FIRST, (usual_crop("winter squash"),), rest_years=0, lead_in=False, share_pct=100.0, within_pct=100.0
    )
    for wishes, first in ((short, 2030), (replace(short, longest=True), 2032)):
        found = best(model_of((ground,), wishes), Weights(leaf=0.0), gap=0.0)
        assert found is not None
        assert min(year for year, use in found.plan["a"].items() if use[0] == "cash") == first


def test_a_double_crop_hosts_both_families_and_the_worst_part_of_a_field_binds():
    both = (grown("lettuce", 2024, "north"), grown("lettuce", 2025, "south"), grown("cabbage", 2025, "south"))
    ground = Ground("a", "A", 4.0, ("hay", ""), both)
    for crop, first in (("lettuce", 2029), ("cabbage", 2033)):
        wishes = replace(ALONE, crops=(usual_crop(crop),), count=first - FIRST + 1)
        assert cropped(ground, wishes) == {first: crop}


def test_a_disease_found_in_a_field_keeps_its_years_even_where_nobody_asked_for_it():
    ground = Ground("a", "A", 4.0, ("cash", "cabbage"), (grown("cabbage", 2026),), ill=("clubroot",))
    wishes = replace(ALONE, crops=(usual_crop("cabbage"),), intervals=(), count=8)
    assert cropped(ground, wishes) == {2034: "cabbage"}


def rested(count: int) -> tuple[Ground, ...]:
    """Fields five years apart in their turn: each year one is ready."""
    crops = ("garlic", "cabbage", "sweet corn", "winter squash")
    rests = ("lead_in", "smother", "hay", "leaf", "cash")
    out = []
    for place in range(count):
        turn = place % 5
        last = 2022 + turn
        past = tuple(grown(crops[(place + back) % 4], last - 5 * back) for back in range(3))
        out.append(Ground(f"f{place:02}", f"Field {place}", 4.0 + place % 3, (rests[turn], ""), past))
    return tuple(out)


WHOLE = Wishes(FIRST, tuple(usual_crop(one) for one in ("garlic", "cabbage", "sweet corn", "winter squash")))


def test_without_a_plan_it_names_wishes_of_which_none_can_be_spared():
    grounds = rested(5)
    pinned = replace(grounds[0], pinned={2027: ("cash", "garlic"), 2029: ("cash", "cabbage")})
    wishes = replace(WHOLE, within_pct=30.0)
    model = model_of((pinned, *grounds[1:]), wishes)
    conflict = why_not((pinned, *grounds[1:]), wishes)
    assert conflict is not None
    assert conflict.proven
    assert set(conflict.wishes) <= {"rest", "lead_in", "pin:f00:2027", "pin:f00:2029"}
    assert len(conflict.wishes) >= 2
    for spared in conflict.wishes:
        others = frozenset(model.keys) - (set(conflict.wishes) - {spared})
        kept = frozenset(model.keys) - others
        assert spared not in kept
        assert _fits(model, others), spared
    assert not _fits(model, frozenset(model.keys) - set(conflict.wishes))


def _fits(model, without: frozenset[str]) -> bool:  # type: ignore[no-untyped-def]
    from_nothing = replace_rows(model, without)
    return best(from_nothing, Weights(0, 0, 0, 0, 0)) is not None


def replace_rows(model, without):  # type: ignore[no-untyped-def]
    """The same model without the rows and bans of some wishes."""
    out = model_of(model.grounds, model.wishes, model.aims)
    for place, wish in enumerate(out.rows.wishes):
        if wish in without:
            out.rows.low[place], out.rows.high[place] = float("-inf"), float("inf")
    out.bans = {wish: columns for wish, columns in out.bans.items() if wish not in without}
    return out


def test_where_a_plan_fits_there_is_nothing_to_explain():
    assert why_not(rested(5), replace(WHOLE, within_pct=30.0)) is None


def test_the_plans_side_by_side_keep_every_wish_and_are_unlike():
    grounds = tuple(
        replace(one, present=dict.fromkeys(range(2030, 2033), ("smother", ""))) for one in rested(10)
    )
    wishes = replace(WHOLE, yards=8 * 806.67, hay_ac=8.0)
    found = proposals(grounds, wishes)
    assert [one.emphasis for one in found] == list(EMPHASES)
    plans = [one.found.plan for one in found]
    for plan in plans:
        assert breaches(grounds, wishes, plan) == ()
    for place, plan in enumerate(plans):
        for other in plans[:place]:
            assert sum(plan[f][y] != other[f][y] for f in plan for y in plan[f]) >= 8
    changes = [sum(year.changed_ac for year in one.years) for one in found]
    assert changes[0] <= min(changes)


def test_a_farm_in_blocks_gets_a_plan_that_keeps_every_wish_and_tells_its_gap_to_the_bound():
    grounds = rested(30)
    wishes = replace(WHOLE, yards=40 * 806.67)
    found = planned(grounds, wishes, WEIGHTS)
    assert found is not None
    assert breaches(grounds, wishes, found.plan) == ()
    assert found.bound <= found.cost + 1e-6
    assert found.gap_ac <= 3.0
    assert all(
        abs(one.gap_ac) <= wishes.band_ac(grounds, one.year) for one in year_sums(grounds, wishes, found.plan)
    )


def test_a_crop_that_stands_is_planned_around_though_nobody_wished_for_it():
    ground = Ground("a", "A", 4.0, ("cash", ""), (grown("cabbage", 2026),), standing="garlic")
    wishes = replace(ALONE, crops=(usual_crop("winter squash"),), rest_years=1, count=3)
    found = planned((ground,), wishes, WEIGHTS)
    assert found is not None
    assert found.plan["a"][FIRST] == ("cash", "garlic")
    assert found.plan["a"][FIRST + 1] == ("leaf", "")
    assert breaches((ground,), wishes, found.plan) == ()
    assert best(model_of((ground,), wishes), WEIGHTS) is not None
