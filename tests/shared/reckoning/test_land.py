"""Areas against geographiclib and pyproj, crossings and points in fields against shapely."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pyproj import Geod
from shapely.geometry import LinearRing, Point
from shapely.geometry import Polygon as Shape

from shared.errors import InputError, OutOfRange
from shared.reckoning.land import (
    contains,
    distance_to_edge_m,
    ground_area_m2,
    land_area,
    nearest_fields,
    radius95,
    way,
    which_field,
)
from shared.reckoning.plane import Plane
from shared.words.place import Polygon

GEOD = Geod(ellps="WGS84")
HOME = Plane(40.0, -75.0)
CORNERS = ((39.70, -75.10), (39.70, -75.099), (39.701, -75.099), (39.701, -75.10))
# The package manual of geographiclib works its planimeter example with this outline of Antarctica.
ANTARCTICA = (
    (-63.1, -58), (-72.9, -74), (-71.9, -102), (-74.9, -102), (-74.3, -131), (-77.5, -163),
    (-77.4, 163), (-71.7, 172), (-65.9, 140), (-65.7, 113), (-66.6, 88), (-66.9, 59),
    (-69.8, 25), (-70.0, -4), (-71.0, -14), (-77.3, -33), (-77.9, -46), (-74.7, -61),
)  # fmt: skip


def square(x, y, side):
    """A square field of metres beside HOME."""
    return Polygon(
        tuple(HOME.point(spot) for spot in ((x, y), (x + side, y), (x + side, y + side), (x, y + side)))
    )


@st.composite
def rings(draw, least=3, most=9):
    """Star-shaped rings: never crossing, up to a kilometre, anywhere that has farms."""
    lat, lon = draw(st.floats(-60.0, 60.0)), draw(st.floats(-179.9, 179.9))
    count = draw(st.integers(least, most))
    turns = sorted(draw(st.lists(st.floats(0.0, 0.9), min_size=count, max_size=count)))
    plane = Plane(lat, lon)
    spots = []
    for k, turn in enumerate(turns):
        angle = math.tau * (k + turn) / count
        reach = draw(st.floats(20.0, 900.0))
        spots.append((reach * math.cos(angle), reach * math.sin(angle)))
    # Two neighbours more than half a turn apart leave the middle outside: still simple for four corners or more.
    assume(Shape(spots).is_valid)
    return tuple(plane.point(spot) for spot in spots)


def test_a_field_of_four_corners_has_the_area_that_geographiclib_gives():
    found = land_area(CORNERS)
    assert found.area_m2 == pytest.approx(9522.4767, abs=1e-3)
    assert found.perimeter_m == pytest.approx(393.5893, abs=1e-3)
    assert found.area_ha == pytest.approx(0.952248, abs=1e-6)
    assert found.area_ac == pytest.approx(2.353055, abs=1e-6)


def test_antarctica_has_the_area_of_the_package_manual():
    found = land_area(ANTARCTICA)
    assert found.area_m2 == pytest.approx(13662703680020.1, abs=0.1)
    assert found.perimeter_m == pytest.approx(16831067.893, abs=1e-3)


def test_a_degree_square_at_the_equator():
    # geographiclib 2.1 and pyproj 3.7 agree on it.
    found = land_area(((0, 0), (0, 1), (1, 1), (1, 0)))
    assert found.area_m2 == pytest.approx(12308778361.469, abs=1e-2)
    assert found.perimeter_m == pytest.approx(443770.917, abs=1e-3)


@given(rings())
def test_an_area_agrees_with_pyproj(ring):
    area, perimeter = GEOD.polygon_area_perimeter([lon for _, lon in ring], [lat for lat, _ in ring])
    found = land_area(ring)
    assert found.area_m2 == pytest.approx(abs(area), abs=0.01)
    assert found.perimeter_m == pytest.approx(perimeter, abs=1e-4)


@given(rings(), st.integers(0, 8), st.booleans())
def test_an_area_does_not_depend_on_the_first_corner_or_the_way_round(ring, turn, back):
    turn %= len(ring)
    other = ring[turn:] + ring[:turn]
    other = other[::-1] if back else other
    assert land_area(other).area_m2 == pytest.approx(land_area(ring).area_m2, rel=1e-9)
    assert land_area((*other, other[0])) == land_area(other)


GRID = st.tuples(st.integers(0, 6), st.integers(0, 6))


@given(st.lists(GRID, min_size=3, max_size=9))
def test_a_ring_is_refused_exactly_where_shapely_finds_it_unsound(cells):
    ring = tuple((40 + row * 1e-3, -75 + column * 1e-3) for row, column in cells)
    kept = [cell for cell, before in zip(cells, [None, *cells], strict=False) if cell != before]
    sound = len(set(kept)) >= 3 and Shape([(column, row) for row, column in cells]).is_valid
    # A repeated last corner closes a ring for both.
    if sound:
        assert land_area(ring).area_m2 > 0.0
    else:
        with pytest.raises(OutOfRange) as refused:
            land_area(ring)
        assert refused.value.name == "ring"


def test_a_crossed_ring_names_the_sides_that_meet():
    with pytest.raises(OutOfRange) as refused:
        land_area(((0, 0), (0, 1), (1, 0), (1, 1)))
    assert refused.value.value == "sides 2 and 4 meet"


@pytest.mark.parametrize(
    "ring",
    [
        (),
        ((0, 0), (0, 1)),
        ((91, 0), (0, 1), (1, 1)),
        ((0, 181), (0, 1), (1, 1)),
        ((math.nan, 0), (0, 1), (1, 1)),
        "0:0",
    ],
)
def test_what_is_no_ring_is_refused(ring):
    with pytest.raises(InputError):
        land_area(ring)


def test_a_hole_is_taken_off_the_area():
    outer = land_area(square(0, 0, 100).outer).area_m2
    hole = square(20, 20, 30).outer
    assert ground_area_m2(Polygon(square(0, 0, 100).outer, (hole,))) == pytest.approx(
        outer - land_area(hole).area_m2
    )


def test_a_radius_of_68_becomes_one_of_95_by_rayleigh():
    # Rayleigh's distribution by scipy, and the worked figures 5 m -> 8.107 m and 5 m back -> 3.084 m.
    from scipy.stats import rayleigh

    assert radius95(5.0).r95_m == pytest.approx(8.107, abs=1e-3)
    assert radius95(3.084).r95_m == pytest.approx(5.0, abs=1e-3)
    assert radius95(1.0).r95_m == pytest.approx(rayleigh.ppf(0.95) / rayleigh.ppf(0.68), rel=1e-9)


@given(rings(least=4), st.floats(-1_000.0, 1_000.0), st.floats(-1_000.0, 1_000.0))
def test_a_point_lies_in_a_field_where_shapely_says_so(ring, x, y):
    middle = Plane(*ring[0])
    point = middle.point((x, y))
    flat = Plane(*point).ring(ring)
    away = LinearRing(flat).distance(Point(0, 0))
    assert distance_to_edge_m(point, Polygon(ring)) == pytest.approx(away, abs=1e-6)
    if away > 1e-6:
        assert contains(point, Polygon(ring)) == Shape(flat).contains(Point(0, 0))


@given(st.floats(-70.0, 70.0), st.floats(-180.0, 180.0), st.floats(0.0, 360.0), st.floats(1.0, 2_000.0))
def test_flat_distances_stay_within_a_part_in_a_thousand(lat, lon, bearing, far):
    there_lon, there_lat, _ = GEOD.fwd(lon, lat, bearing, far)
    assert math.hypot(*Plane(lat, lon).spot((there_lat, there_lon))) == pytest.approx(far, rel=1e-3)


@given(
    st.floats(-70.0, 70.0),
    st.floats(-180.0, 180.0),
    st.floats(0.0, 360.0),
    st.floats(-900.0, 900.0),
    st.floats(-900.0, 900.0),
)
def test_a_spot_comes_back_as_its_point(lat, lon, turn, x, y):
    plane = Plane(lat, lon, turn)
    assert plane.spot(plane.point((x, y))) == pytest.approx((x, y), abs=1e-6)


def test_a_way_agrees_with_pyproj():
    azimuth, _, distance = GEOD.inv(-75.10, 39.70, -75.099, 39.701)
    found = way((39.70, -75.10), (39.701, -75.099))
    assert (found.distance_m, found.bearing_deg) == pytest.approx((distance, azimuth % 360.0))


FIELDS = {"west": square(0, 0, 100), "east": square(100, 0, 100), "far": square(500, 0, 50)}


@pytest.mark.parametrize(
    ("spot", "r95", "field", "candidates"),
    [
        ((50, 50), 10, "west", ("west",)),
        ((150, 50), 10, "east", ("east",)),
        ((95, 50), 10, None, ("west", "east")),
        ((105, 50), 10, None, ("east", "west")),
        ((50, 3), 10, None, ("west",)),
        ((50, -3), 10, None, ("west",)),
        ((50, -30), 10, None, ()),
        ((50, 50), None, None, ("west",)),
        ((300, 50), None, None, ()),
    ],
)
def test_a_field_is_named_only_where_that_is_sure(spot, r95, field, candidates):
    found = which_field(HOME.point(spot), r95, FIELDS)
    assert (found.field, found.sure, found.candidates) == (field, field is not None, candidates)


@pytest.mark.parametrize("radius", [0.0, -5.0, math.nan])
def test_a_radius_that_can_not_be_is_no_radius(radius):
    found = which_field(HOME.point((50, 50)), radius, FIELDS)
    assert (found.sure, found.candidates) == (False, ("west",))


@pytest.mark.parametrize("point", [(91.0, 0.0), (0.0, 181.0), (math.nan, 0.0), (40.0, math.inf)])
def test_a_point_off_the_globe_is_refused(point):
    with pytest.raises(OutOfRange):
        which_field(point, 5.0, FIELDS)


def test_ground_without_corners_holds_no_point_and_is_infinitely_far():
    assert not contains((40.0, -75.0), ())
    assert distance_to_edge_m((40.0, -75.0), ()) == math.inf
    assert which_field((40.0, -75.0), 5.0, {"undrawn": ()}).candidates == ()
    assert nearest_fields((40.0, -75.0), {"undrawn": ()}) == ()


def test_a_point_in_two_outlines_that_overlap_is_not_sure():
    over = {"one": square(0, 0, 100), "two": square(10, 10, 100)}
    assert which_field(HOME.point((50, 50)), 5, over).field is None


def test_a_hole_is_not_its_field():
    pond = {"round": Polygon(square(0, 0, 100).outer, (square(30, 30, 40).outer,))}
    assert which_field(HOME.point((50, 50)), 5, pond).candidates == ()
    assert which_field(HOME.point((50, 50)), 25, pond).candidates == ("round",)


def test_a_field_in_two_pieces_is_known_by_either():
    two = {"split": (*(square(x, 0, 50) for x in (0, 200)),)}
    assert which_field(HOME.point((225, 25)), 5, two).field == "split"


@given(st.floats(-60.0, 260.0), st.floats(-60.0, 160.0), st.floats(0.5, 40.0))
def test_a_named_field_holds_the_whole_circle_of_accuracy(x, y, r95):
    found = which_field(HOME.point((x, y)), r95, FIELDS)
    circle = Point(x, y).buffer(r95 * 0.999)
    shapes = {key: Shape(HOME.ring(ground.outer)) for key, ground in FIELDS.items()}
    if found.field is not None:
        assert shapes[found.field].buffer(0.001).contains(circle)
    else:
        assert not any(shape.buffer(-r95 * 1.001 - 0.01).contains(Point(x, y)) for shape in shapes.values())


def test_the_nearest_field_is_told_with_its_distance():
    told = nearest_fields(HOME.point((-30, 50)), FIELDS)
    assert [key for key, _ in told] == ["west", "east", "far"]
    assert told[0][1] == pytest.approx(30.0, rel=1e-3)
