"""The invented land: its acres by two programs, its awkward shapes, its setbacks by two ways."""

from __future__ import annotations

from itertools import combinations

import pytest
from pyproj import Geod
from shapely.geometry import Polygon

from demo_fixtures import farm, ground
from demo_fixtures.expected import spreadable_ac
from shared.reckoning.spreadable import keep_off, spreadable
from shared.wire.lines import decode, encode

WGS84 = Geod(ellps="WGS84")


def pyproj_ac(plot: farm.Plot) -> float:
    def ring_m2(corners):
        return abs(WGS84.polygon_area_perimeter([lon for _, lon in corners], [lat for lat, _ in corners])[0])

    pieces = plot.outline
    m2 = sum(ring_m2(one.outer) - sum(ring_m2(hole) for hole in one.holes) for one in pieces)
    return m2 / 4046.8564224


def shape(plot: farm.Plot) -> list[Polygon]:
    return [Polygon(outer, holes) for outer, holes in plot.pieces]


def test_there_are_fourteen_fields_of_about_forty_six_acres():
    assert len(farm.PLOTS) == 14
    assert 45 <= sum(farm.acres(plot) for plot in farm.PLOTS) <= 47


@pytest.mark.parametrize("plot", farm.PLOTS, ids=lambda plot: plot.key)
def test_pyproj_and_geographiclib_agree_on_a_fields_acres(plot):
    assert farm.acres(plot) == pytest.approx(pyproj_ac(plot), rel=1e-9)


@pytest.mark.parametrize("plot", farm.PLOTS, ids=lambda plot: plot.key)
def test_the_ground_less_setbacks_is_the_same_by_shapely_and_by_the_reckoner(plot):
    off = [keep_off(one.value()) for one in farm.KEEP_OFF]
    assert spreadable(plot.outline, off).area_ac == pytest.approx(spreadable_ac(plot.key), rel=2e-4)


def test_no_two_fields_overlap():
    for one, other in combinations(farm.PLOTS, 2):
        overlap = sum(a.intersection(b).area for a in shape(one) for b in shape(other))
        assert overlap < 1e-6, (one.key, other.key)


def test_the_plan_has_a_hole_two_pieces_hollows_and_shared_hedges():
    assert [plot.key for plot in farm.PLOTS if any(holes for _, holes in plot.pieces)] == ["pond_field"]
    assert [plot.key for plot in farm.PLOTS if len(plot.pieces) == 2] == ["two_stones"]
    hollow = [
        plot.key for plot in farm.PLOTS if any(one.convex_hull.area > one.area * 1.03 for one in shape(plot))
    ]
    assert {"quarry_side", "spring_piece", "kiln_corner"} <= set(hollow)
    shared = [
        (one.key, other.key)
        for one, other in combinations(farm.PLOTS, 2)
        if sum(a.intersection(b).length for a in shape(one) for b in shape(other)) > 40
    ]
    assert ("quarry_side", "spring_piece") in shared
    assert ("mill_flat", "hedge_strip") in shared


def test_every_field_has_its_gap_in_the_hedge_on_its_edge():
    for plot in farm.PLOTS:
        gap = Polygon(
            [(plot.way_in[0] + x, plot.way_in[1] + y) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        )
        assert min(one.exterior.distance(gap) for one in shape(plot)) < 6, plot.key


def test_the_plan_goes_to_degrees_and_back_within_a_centimetre():
    for spot in ((0.0, 0.0), (640.0, -240.0), (-42.0, 250.0)):
        assert ground.plan(*ground.degrees(spot)) == pytest.approx(spot, abs=0.02)


def test_the_distances_on_the_plan_are_those_on_the_ellipsoid():
    here, there = ground.degrees((0, 0)), ground.degrees((600, -240))
    _, _, metres = WGS84.inv(here[1], here[0], there[1], there[0])
    assert metres == pytest.approx((600**2 + 240**2) ** 0.5, rel=5e-5)


def test_a_field_that_is_written_down_and_read_again_has_the_same_acres():
    from demo_fixtures.book import book

    drawn = {}
    for line in book():
        if line.fact.key[0] == "land":
            entry = decode(line.raw)
            assert encode(entry) == line.raw
            drawn[entry.body.subject] = entry.body.pieces
    for plot in farm.PLOTS:
        rings = [
            [(float(lat), float(lon)) for lat, lon in ring] for piece in drawn[plot.id] for ring in piece
        ]
        told = [list(ring) for one in plot.outline for ring in (one.outer, *one.holes)]
        assert rings == told, plot.key
