"""Findings hang on what happened and not on the order in which it was fed in; and grow as the facts do."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from shared import rules
from shared.rules.period import counted
from shared.rules.work_in_clock import worked_days

EVERYWHERE = [rules.sheet(name) for name in rules.sheet_names()]
START = date(2025, 10, 1)

days = st.integers(0, 500).map(lambda n: START + timedelta(days=n))
parts = st.sampled_from(["north", "south", "field"])
pieces = {
    "north": frozenset({"north"}),
    "south": frozenset({"south"}),
    "field": frozenset({"north", "south"}),
}
areas = st.sampled_from([10_000.0, 43_560.0, 87_120.0])


@st.composite
def spreads(draw: st.DrawFn) -> rules.Spread:
    part = draw(parts)
    return rules.Spread(
        part=part,
        on=draw(days),
        yards_yd3=draw(st.floats(0, 2000)),
        area_ft2=draw(areas),
        area_from=draw(st.sampled_from(["drawn", "typed", "outline"])),
        yards_are=draw(st.sampled_from(["ground", "truck"])),
        pieces=pieces[part],
        dry_tons=draw(st.none() | st.floats(0, 100)),
    )


@st.composite
def workings(draw: st.DrawFn) -> rules.WorkedIn:
    part = draw(st.none() | parts)
    return rules.WorkedIn(
        on=draw(days),
        part=part,
        area_ft2=draw(st.none() | areas),
        pieces=pieces[part] if part else frozenset(),
    )


checked = settings(deadline=None, derandomize=True, database=None, max_examples=150)


@checked
@given(st.lists(spreads(), max_size=6), st.lists(workings(), max_size=5), days, st.randoms())
def test_the_order_of_feeding_changes_no_finding(laid, worked, on, chance):
    def everything(sheets, some_laid, some_worked):
        return (
            rules.depth(sheets, some_laid, some_worked, on),
            rules.depth_history(sheets, some_laid, some_worked),
            rules.applications(sheets, some_laid, some_worked, on),
            rules.rate(sheets, some_laid, on),
            rules.clocks(some_laid, some_worked),
            rules.work_in(sheets, rules.clocks(some_laid, some_worked), on, date(2026, 5, 1)),
        )

    shuffled = [chance.sample(each, len(each)) for each in (EVERYWHERE, laid, worked)]
    assert everything(EVERYWHERE, laid, worked) == everything(*shuffled)


@checked
@given(st.lists(spreads(), min_size=1, max_size=6), st.lists(workings(), max_size=5), days)
def test_the_strictest_period_counts_no_less_than_any_of_the_four(laid, worked, on):
    done = worked_days(laid, worked)
    for piece in ("north", "south"):
        most = rules.laid_depth(piece, counted("strictest", piece, laid, done, on)).depth_in
        for basis in ("one_application", "calendar_year", "rolling_twelve_months", "until_worked_in"):
            there = rules.laid_depth(piece, counted(basis, piece, laid, done, on)).depth_in
            assert there <= most * (1 + 1e-9)
        assert most <= rules.laid_depth(piece, counted("accumulated", piece, laid, done, on)).depth_in * (
            1 + 1e-9
        )


@checked
@given(st.lists(spreads(), max_size=6), st.lists(workings(), max_size=5))
def test_every_spread_lies_in_one_run_of_the_clock(laid, worked):
    runs = rules.clocks(laid, worked)
    held = [spread for run in runs for spread in run.spreads]
    assert sorted(map(repr, held)) == sorted(map(repr, laid))
    for run in runs:
        assert run.started == min(spread.on for spread in run.spreads)
        widest = max(spread.area_ft2 for spread in run.spreads)
        # Ground that was covered again after it was worked in counts again, so far as that was worked.
        assert widest <= run.covered_ft2 <= widest + run.worked_ft2
        assert run.worked_ft2 <= run.covered_ft2
        assert run.worked_on is None or run.worked_on >= max(spread.on for spread in run.spreads)


@checked
@given(st.floats(0, 60), st.floats(0, 60))
def test_a_deeper_stop_is_never_judged_more_lightly(one, other):
    low, high = sorted((one, other))
    shallow = {found.sheet for found in rules.depth_at_stop(EVERYWHERE, "north", low)}
    deep = {found.sheet for found in rules.depth_at_stop(EVERYWHERE, "north", high)}
    assert shallow <= deep


@checked
@given(st.floats(0, 1000), st.floats(0, 1000))
def test_nearer_to_a_well_is_never_judged_more_lightly(one, other):
    near, far = sorted((one, other))
    too_near = rules.setbacks(EVERYWHERE, [rules.Reach("stop", "well", near)])
    too_far = rules.setbacks(EVERYWHERE, [rules.Reach("stop", "well", far)])
    assert {found.sheet for found in too_far} <= {found.sheet for found in too_near}


@checked
@given(days, st.integers(0, 3000), st.integers(0, 3000))
def test_what_may_be_discarded_stays_so(made_on, first, more):
    early, late = made_on + timedelta(days=first), made_on + timedelta(days=first + more)
    still_late = {one.sheet for one in rules.may_be_discarded(EVERYWHERE, "load", made_on, late)}
    assert still_late <= {one.sheet for one in rules.may_be_discarded(EVERYWHERE, "load", made_on, early)}


@checked
@given(st.floats(0, 5000), st.floats(0, 5000))
def test_more_leaves_sent_never_leave_more_room(one, other):
    few, many = sorted((one, other))
    rooms = [
        rules.field_room(
            EVERYWHERE,
            rules.FieldToFill(
                field="north",
                on=START,
                area_ft2=100_000.0,
                sent=(rules.Sent(on=START, yards_yd3=yards),),
                load_yd3=20,
            ),
        )
        for yards in (few, many)
    ]
    assert rooms[1].room_yd3 <= rooms[0].room_yd3
    assert rooms[1].whole_loads <= rooms[0].whole_loads
    assert rooms[0].whole_loads * 20 <= rooms[0].room_yd3 * (1 + 1e-9)
