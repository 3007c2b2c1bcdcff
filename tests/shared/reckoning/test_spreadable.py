"""Spreadable ground against shapely."""

from __future__ import annotations

import math
from decimal import Decimal
from uuid import UUID

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point
from shapely.geometry import Polygon as Shape
from shapely.ops import unary_union

from shared.errors import OutOfRange
from shared.reckoning.land import ground_area_m2
from shared.reckoning.plane import Plane
from shared.reckoning.spreadable import Band, KeepOff, keep_off, region, spreadable
from shared.units import M_PER_FT
from shared.words.field import Buffer
from shared.words.place import Polygon

HOME = Plane(40.0, -75.0)
ROUND = 128
"""Sides a quarter circle, in shapely's stand-in for a round corner: 0.003 % short of one."""


def on_earth(spots):
    return tuple(HOME.point(spot) for spot in spots)


@st.composite
def stars(draw, x=0.0, y=0.0, reach=200.0, most=12):
    count = draw(st.integers(3, most))
    spots = []
    for k in range(count):
        angle = math.tau * (k + draw(st.floats(0.0, 0.8))) / count
        far = reach * draw(st.floats(0.3, 1.0))
        spots.append((x + far * math.cos(angle), y + far * math.sin(angle)))
    assume(Shape(spots).is_valid and Shape(spots).area > 1.0)
    return tuple(spots)


SPOTS = st.tuples(st.floats(-220.0, 220.0), st.floats(-220.0, 220.0))
SETBACKS = st.floats(0.5, 80.0)


@st.composite
def kept_off(draw):
    """A buffer as we take it and as shapely draws it."""
    setback = draw(SETBACKS)
    match draw(st.sampled_from(["point", "line", "polygon"])):
        case "point":
            spot = draw(SPOTS)
            return KeepOff(setback, lines=(on_earth([spot]),)), Point(spot).buffer(setback, quad_segs=ROUND)
        case "line":
            spots = draw(st.lists(SPOTS, min_size=2, max_size=5, unique=True))
            return (
                KeepOff(setback, lines=(on_earth(spots),)),
                LineString(spots).buffer(setback, quad_segs=ROUND),
            )
        case _:
            x, y = draw(SPOTS)
            spots = draw(stars(x, y, 40.0, 7))
            return (
                KeepOff(setback, polygons=(Polygon(on_earth(spots)),)),
                Shape(spots).buffer(setback, quad_segs=ROUND),
            )


@st.composite
def fields(draw):
    outer = draw(stars())
    holes = [draw(stars(*draw(st.tuples(st.floats(-20, 20), st.floats(-20, 20))), 25.0, 6))]
    shape = Shape(outer, holes)
    if not (shape.is_valid and Shape(outer).contains(Shape(holes[0]))):
        shape, holes = Shape(outer), []
    return Polygon(on_earth(outer), tuple(on_earth(hole) for hole in holes)), shape


@settings(max_examples=150)
@given(fields(), st.lists(kept_off(), max_size=5))
def test_the_spreadable_area_agrees_with_shapely_to_a_tenth_of_a_percent(field, off):
    ground, shape = field
    left = shape.difference(unary_union([drawn for _, drawn in off]))
    found = spreadable(ground, [each for each, _ in off])
    geodesic = found.field_m2 / shape.area
    assert abs(found.area_m2 - left.area * geodesic) <= 0.001 * found.field_m2
    assert found.field_m2 == pytest.approx(ground_area_m2(ground))
    assert -1e-6 <= found.area_m2 <= found.field_m2 * (1 + 1e-9)


@settings(max_examples=100)
@given(fields(), st.lists(kept_off(), max_size=4), st.lists(SPOTS, min_size=5, max_size=20))
def test_a_point_may_be_spread_on_where_shapely_says_so(field, off, spots):
    ground, shape = field
    left = shape.difference(unary_union([drawn for _, drawn in off]))
    found = spreadable(ground, [each for each, _ in off])
    for spot in spots:
        # The two draw a round corner a few millimetres apart.
        if left.boundary.distance(Point(spot)) > 0.05 and shape.boundary.distance(Point(spot)) > 0.05:
            assert found.contains(HOME.point(spot)) == left.contains(Point(spot))


@settings(max_examples=60)
@given(fields(), kept_off(), kept_off())
def test_more_buffers_never_leave_more_ground_and_their_order_does_not_matter(field, one, other):
    ground, _ = field
    alone = spreadable(ground, [one[0]]).area_m2
    both = spreadable(ground, [one[0], other[0]]).area_m2
    slack = 2e-4 * ground_area_m2(ground)
    assert both <= alone + slack
    assert spreadable(ground, [other[0], one[0]]).area_m2 == pytest.approx(both, abs=1e-6)


@settings(max_examples=60)
@given(fields(), SPOTS, SETBACKS, st.floats(1.0, 3.0))
def test_a_wider_setback_never_leaves_more_ground(field, spot, setback, wider):
    ground, _ = field
    line = (on_earth([spot]),)
    near = spreadable(ground, [KeepOff(setback, lines=line)]).area_m2
    far = spreadable(ground, [KeepOff(setback * wider, lines=line)]).area_m2
    assert far <= near + 2e-4 * ground_area_m2(ground)


def test_a_disk_wholly_inside_takes_pi_r_squared():
    square = Polygon(on_earth([(0, 0), (200, 0), (200, 200), (0, 200)]))
    off = KeepOff(30.0, lines=(on_earth([(100, 100)]),))
    assert region(square, [off], HOME).area_m2() == pytest.approx(40_000 - math.pi * 900, rel=1e-5)


def test_without_buffers_all_of_the_field_is_spreadable():
    square = Polygon(on_earth([(0, 0), (200, 0), (200, 200), (0, 200)]))
    assert spreadable(square).area_m2 == pytest.approx(ground_area_m2(square), rel=1e-12)


def test_a_field_wholly_inside_a_buffer_has_no_ground_left():
    square = Polygon(on_earth([(0, 0), (20, 0), (20, 20), (0, 20)]))
    found = spreadable(square, [KeepOff(100.0, lines=(on_earth([(10, 10)]),))])
    assert (found.area_m2, found.area_ac) == (0.0, 0.0)


def test_the_edge_is_the_nearest_of_field_and_buffer():
    square = Polygon(on_earth([(0, 0), (200, 0), (200, 200), (0, 200)]))
    found = spreadable(square, [KeepOff(30.0, lines=(on_earth([(100, 100)]),))])
    assert found.distance_to_edge_m(HOME.point((100, 160))) == pytest.approx(30.0, rel=1e-3)
    assert found.distance_to_edge_m(HOME.point((190, 100))) == pytest.approx(10.0, rel=1e-3)


def test_no_ground_and_a_crossed_outline_are_refused():
    with pytest.raises(OutOfRange):
        spreadable(())
    with pytest.raises(OutOfRange):
        spreadable(Polygon(on_earth([(0, 0), (10, 0), (0, 10), (10, 10)])))


@pytest.mark.parametrize(("corners", "lines", "polygons"), [(1, 1, 0), (2, 1, 0), (3, 0, 1)])
def test_a_buffer_of_one_corner_is_a_point_and_of_two_a_line(corners, lines, polygons):
    drawn = (Polygon(on_earth([(0, 0), (10, 0), (10, 10)][:corners])),)
    found = keep_off(Buffer(UUID(int=1), "well", 1, "well", drawn, Decimal("50")))
    assert (len(found.lines), len(found.polygons)) == (lines, polygons)
    assert found.setback_m == pytest.approx(50 * M_PER_FT.value)


@given(SPOTS, SPOTS, SETBACKS, st.floats(-300.0, 300.0))
def test_a_line_cuts_a_band_where_shapely_says(a, b, reach, y):
    cut = Band(a, b, reach).cut(y)
    shape = (LineString([a, b]) if a != b else Point(a)).buffer(reach, quad_segs=512)
    line = shape.intersection(LineString([(-1_000, y), (1_000, y)]))
    length = cut[1] - cut[0] if cut else 0.0
    # Near the top of a disk the stand-in's flat sides miss up to this much of the chord.
    assert length == pytest.approx(line.length, abs=0.5)
    if line.length > 20.0:
        assert length == pytest.approx(line.length, abs=0.01)
