"""Stops laid out in a field's own shape."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import Point
from shapely.geometry import Polygon as Shape

from shared.errors import OutOfRange
from shared.reckoning.land import way
from shared.reckoning.plane import Plane
from shared.reckoning.spreadable import KeepOff
from shared.reckoning.stops import EDGE_M, long_way_deg, stops
from shared.words.place import Polygon

HOME = Plane(40.0, -75.0)


def field(*spots, holes=()):
    on_earth = tuple(HOME.point(spot) for spot in spots)
    return Polygon(on_earth, tuple(tuple(HOME.point(spot) for spot in hole) for hole in holes))


LONG = field((0, 0), (300, 0), (300, 100), (0, 100))
BENT = field((0, 0), (100, 0), (100, 60), (60, 60), (60, 200), (0, 200))
POND = field((0, 0), (200, 0), (200, 150), (0, 150), holes=[((80, 50), (120, 50), (120, 100), (80, 100))])


@st.composite
def shapes(draw):
    count = draw(st.integers(3, 9))
    spots = []
    for k in range(count):
        angle = math.tau * (k + draw(st.floats(0.0, 0.8))) / count
        far = draw(st.floats(40.0, 250.0))
        spots.append((far * math.cos(angle), far * math.sin(angle)))
    assume(Shape(spots).is_valid and Shape(spots).area > 500.0)
    return spots


@settings(max_examples=80)
@given(shapes(), st.integers(1, 40))
def test_there_are_as_many_stops_as_asked_all_different_and_all_in_the_field(spots, count):
    placed = [HOME.spot(point) for point in stops(field(*spots), count)]
    assert len(placed) == count
    assert len({(round(x, 3), round(y, 3)) for x, y in placed}) == count
    assert all(Shape(spots).buffer(0.01).contains(Point(spot)) for spot in placed)


@settings(max_examples=80)
@given(shapes(), st.integers(1, 30))
def test_stops_keep_off_the_edge_as_far_as_the_field_is_wide_enough(spots, count):
    shape = Shape(spots)
    assume(shape.buffer(-EDGE_M.value * 1.5).area > 0.05 * shape.area)
    for point in stops(field(*spots), count):
        assert shape.exterior.distance(Point(HOME.spot(point))) > EDGE_M.value * 0.998


@settings(max_examples=60)
@given(shapes(), st.integers(2, 20), st.floats(-80.0, 80.0), st.floats(-80.0, 80.0), st.floats(5.0, 60.0))
def test_stops_keep_out_of_buffers(spots, count, x, y, setback):
    off = [KeepOff(setback, lines=((HOME.point((x, y)),),))]
    for point in stops(field(*spots), count, off):
        assert math.hypot(*(a - b for a, b in zip(HOME.spot(point), (x, y), strict=True))) > setback * 0.998


@pytest.mark.parametrize("ground", [LONG, BENT, POND])
def test_the_same_field_gives_the_same_stops_whichever_corner_comes_first(ground):
    turned = Polygon(ground.outer[2:] + ground.outer[:2], ground.holes)
    assert stops(ground, 12) == stops(ground, 12)
    for one, other in zip(stops(ground, 12), stops(turned, 12), strict=True):
        assert way(one, other).distance_m < 0.01


def test_stops_keep_out_of_a_pond_with_its_edge():
    pond = Shape([(80, 50), (120, 50), (120, 100), (80, 100)])
    assert all(pond.distance(Point(HOME.spot(point))) > EDGE_M.value * 0.998 for point in stops(POND, 25))


def test_a_walk_goes_to_and_fro_along_the_longer_way():
    placed = [HOME.spot(point) for point in stops(LONG, 10)]
    assert [x for x, _ in placed] == sorted(x for x, _ in placed)
    sides = [y > 50 for _, y in placed]
    assert all(one != other for one, other in itertools.pairwise(sides))
    assert long_way_deg(LONG) == pytest.approx(90.0, abs=0.1)


def test_each_stop_stands_for_as_much_ground():
    # Along the walk the stops' places share the field's length evenly, so no end is sampled twice.
    placed = [HOME.spot(point)[0] for point in stops(LONG, 10)]
    steps = [b - a for a, b in itertools.pairwise(placed)]
    assert max(steps) < 1.15 * min(steps)


def test_a_walk_is_short_for_what_it_covers():
    placed = stops(LONG, 10)
    length = sum(way(a, b).distance_m for a, b in itertools.pairwise(placed))
    assert length < 2 * 300


@pytest.mark.parametrize("start", [(0, 50), (300, 50)])
def test_a_walk_starts_at_the_end_that_is_nearer(start):
    first, *_, last = stops(LONG, 10, start=HOME.point(start))
    here = HOME.point(start)
    assert way(here, first).distance_m < way(here, last).distance_m


def test_a_narrow_strip_still_gets_its_stops():
    strip = field((0, 0), (5, 0), (5, 200), (0, 200))
    placed = [HOME.spot(point) for point in stops(strip, 5)]
    assert len(placed) == 5
    assert all(0.0 < x < 5.0 and 0.0 < y < 200.0 for x, y in placed)


def test_no_ground_left_gives_no_stops():
    assert stops(LONG, 5, [KeepOff(1_000.0, lines=((HOME.point((0, 0)),),))]) == ()


@pytest.mark.parametrize("count", [0, -1, 401])
def test_a_count_that_no_round_has_is_refused(count):
    with pytest.raises(OutOfRange):
        stops(LONG, count)


@pytest.mark.parametrize("edge", [-1.0, math.nan, math.inf])
def test_an_edge_that_can_not_be_is_refused(edge):
    with pytest.raises(OutOfRange):
        stops(LONG, 5, edge_m=edge)
