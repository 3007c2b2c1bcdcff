"""Patches and maps, against esda's figures, print and two real fields."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shared.errors import InputError, OutOfRange
from shared.reckoning.spatial import by_distance, left_out, map_fitness, moran, nearest, rook

TABLES = Path(__file__).parent / "tables"

POINTS = st.lists(
    st.tuples(st.integers(0, 300).map(float), st.integers(0, 300).map(float)),
    min_size=6,
    max_size=30,
    unique=True,
)


def field(name: str) -> tuple[list[tuple[float, float]], dict[str, list[float]]]:
    """A soil data set of LimeSoDa 0.1.5 (tables/README.md: licence and authors)."""
    with (TABLES / f"{name}.csv").open() as file:
        rows = [{key: float(text) for key, text in row.items()} for row in csv.DictReader(file)]
    points = [(row["x_m"], row["y_m"]) for row in rows]
    return points, {key: [row[key] for row in rows] for key in ("ph", "carbon_pct")}


# esda 2.9.0, Moran(values, lat2W(3, 3), row-standardized): I and the standard score under randomization.
def test_a_slope_over_nine_points_is_a_pattern():
    found = moran([1.0, 2.0, 3.0, 2.0, 3.0, 4.0, 3.0, 4.0, 5.0], rook(3, 3))
    assert found.i == pytest.approx(0.55556, abs=1e-5)
    assert found.expected == -0.125
    assert found.z == pytest.approx(2.80212486531267)
    assert found.p == pytest.approx(0.0050767220191941)


def test_a_checkerboard_is_the_opposite_of_a_pattern():
    found = moran([1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0], rook(3, 3))
    assert found.i == pytest.approx(-1.0)
    assert found.z == pytest.approx(-3.234934455923615)


# esda 2.9.0 with KNN k=4, row-standardized; the error of each point left out was run beside it.
@pytest.mark.parametrize(
    ("name", "column", "i", "z", "p"),
    [
        ("limesoda_mwp_36", "ph", 0.37825204211719166, 3.999873402321166, 6.337637743905027e-05),
        ("limesoda_mwp_36", "carbon_pct", 0.20499750658972732, 2.4923301706116927, 0.01269080049303361),
        ("limesoda_nsw_52", "ph", 0.04370526114390046, 0.727447341975718, 0.4669519621154832),
        ("limesoda_nsw_52", "carbon_pct", -0.008009734482654941, 0.13740829425387083, 0.8907080753689469),
    ],
)
def test_real_fields_give_the_moran_that_esda_gives(name, column, i, z, p):
    points, values = field(name)
    found = moran(values[column], nearest(points))
    assert (found.i, found.z, found.p) == pytest.approx((i, z, p), rel=1e-9)


def test_a_field_with_patches_may_be_mapped():
    points, values = field("limesoda_mwp_36")
    found = map_fitness(points, values["ph"])
    assert (found.verdict, found.why, found.points) == ("map", "map_is_better", 36)
    assert found.map_error == pytest.approx(0.3721, abs=1e-4)
    assert found.mean_error == pytest.approx(0.4158, abs=1e-4)


def test_a_field_whose_map_would_be_worse_than_its_mean_shows_points_only():
    points, values = field("limesoda_nsw_52")
    found = map_fitness(points, values["ph"])
    assert (found.verdict, found.why) == ("points_only", "no_patches")
    assert found.map_error == pytest.approx(0.8319, abs=1e-4)
    assert found.mean_error == pytest.approx(0.7691, abs=1e-4)
    assert found.chance == pytest.approx(0.47, abs=0.005)


def test_twenty_nine_points_are_too_few_and_thirty_are_not():
    points, values = field("limesoda_mwp_36")
    assert map_fitness(points[:29], values["ph"][:29]).why == "few"
    assert map_fitness(points[:30], values["ph"][:30]).why != "few"


def test_a_slope_under_readings_that_differ_within_a_step_shows_points_only():
    # Two readings at each place, a unit above and below a gentle slope: the slope is a pattern, but the
    # nearest reading, which the map trusts most, is the one that is farthest off.
    points = [(10.0 * place + step, 0.0) for place in range(50) for step in (0.0, 0.01)]
    values = [0.05 * place + sign for place in range(50) for sign in (1.0, -1.0)]
    found = map_fitness(points, values)
    assert found.chance < 0.05
    assert found.map_error > found.mean_error
    assert (found.verdict, found.why) == ("points_only", "mean_is_better")


def test_a_field_that_reads_the_same_everywhere_has_no_pattern():
    points, _ = field("limesoda_mwp_36")
    assert moran([6.5] * 36, nearest(points)) is None
    assert map_fitness(points, [6.5] * 36).why == "no_patches"


def test_distance_weighs_by_its_square():
    # 10 at one metre and 20 at two: (10 / 1 + 20 / 4) / (1 + 1/4) = 12.
    assert by_distance([(1.0, 0.0), (0.0, 2.0)], [10.0, 20.0], (0.0, 0.0)) == 12.0


def test_on_a_point_its_own_reading_stands():
    points = [(0.0, 0.0), (5.0, 0.0), (5.0, 0.0)]
    assert by_distance(points, [1.0, 4.0, 6.0], (0.0, 0.0)) == 1.0
    assert by_distance(points, [1.0, 4.0, 6.0], (5.0, 0.0)) == 5.0


@given(POINTS, st.data())
def test_a_map_never_leaves_the_range_of_its_readings(points, data):
    values = data.draw(st.lists(st.floats(-100, 100), min_size=len(points), max_size=len(points)))
    at = data.draw(st.tuples(st.floats(-50, 350), st.floats(-50, 350)))
    assert min(values) - 1e-9 <= by_distance(points, values, at) <= max(values) + 1e-9


@given(POINTS, st.data(), st.floats(0.1, 10.0), st.floats(-50.0, 50.0))
def test_morans_i_does_not_change_with_the_unit(points, data, scale, shift):
    values = data.draw(st.lists(st.integers(0, 50).map(float), min_size=len(points), max_size=len(points)))
    assume(len(set(values)) > 2)
    weights = nearest(points)
    one, other = moran(values, weights), moran([value * scale + shift for value in values], weights)
    assert (other.i, other.z) == pytest.approx((one.i, one.z), abs=1e-6)
    assert 0.0 <= one.p <= 1.0


@given(POINTS, st.data())
def test_the_mean_left_out_errs_by_n_over_n_less_one(points, data):
    values = data.draw(st.lists(st.floats(-100, 100), min_size=len(points), max_size=len(points)))
    n = len(values)
    middle = math.fsum(values) / n
    spread = math.sqrt(math.fsum((value - middle) ** 2 for value in values) / n)
    assert left_out(points, values).mean_error == pytest.approx(n / (n - 1) * spread, abs=1e-9)


def test_every_point_has_its_four_nearest_and_their_weights_add_to_one():
    points, _ = field("limesoda_nsw_52")
    for i, row in enumerate(nearest(points)):
        assert len(row) == 4
        assert i not in row
        assert math.fsum(row.values()) == pytest.approx(1.0)
        far = max(math.dist(points[i], points[j]) for j in row)
        assert sum(math.dist(points[i], other) < far for other in points) <= 4


@pytest.mark.parametrize(
    "call",
    [
        lambda: map_fitness([(0.0, 0.0)] * 3, [1.0, 2.0]),
        lambda: map_fitness([(0.0, 0.0), (1.0, 1.0)], [1.0, 2.0]),
        lambda: map_fitness([(0.0, math.nan)] * 3, [1.0, 2.0, 3.0]),
        lambda: map_fitness([(0.0, 1.0)] * 3, [1.0, 2.0, math.inf]),
        lambda: moran([1.0, 2.0, 3.0], nearest([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)], 2)),
        lambda: nearest([(0.0, 0.0), (1.0, 0.0)], 2),
        lambda: by_distance([], [], (0.0, 0.0)),
        lambda: left_out([(0.0, 0.0)], [1.0]),
    ],
)
def test_too_few_points_or_no_numbers_are_refused(call):
    with pytest.raises(InputError):
        call()


def test_points_at_one_place_are_taken_together():
    found = map_fitness([(0.0, 0.0)] * 31, [float(value) for value in range(31)])
    assert found.verdict == "points_only"
    with pytest.raises(OutOfRange):
        nearest([(0.0, 0.0)] * 3, 0)
