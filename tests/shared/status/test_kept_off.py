"""What stands inside a buffer: on the phone by plain geometry, on the server by shapely, and both alike."""

from __future__ import annotations

import math
from datetime import date
from decimal import Decimal
from uuid import UUID

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import Point
from shapely.geometry import Polygon as Shape

from server.land.setbacks import KeptOff, acres_on_globe
from shared.reckoning.plane import Plane
from shared.reckoning.spreadable import keep_off, spreadable
from shared.rules import sheets_in_force
from shared.status.kept_off import Near, laid_at, near
from shared.status.standing import standing
from shared.status.unusual import Reading, unusual
from shared.words.bodies.walked import Cover, LeafDepth
from shared.words.field import Buffer
from shared.words.place import Polygon, Position

HOME = Plane(40.0, -75.0)
FT = 0.3048
FIELD = UUID("01900000-0000-7000-8000-000000000001")


def on_earth(spots):
    return tuple(HOME.point(spot) for spot in spots)


def buffer(piece, setback="100", around="well", name="Yard well"):
    return Buffer(UUID("01900000-0000-7000-8000-0000000000b1"), name, 1, around, (piece,), Decimal(setback))


WELL = buffer(Polygon(on_earth([(0.0, 0.0)])))


def at(feet_east, r68="0.5"):
    lat, lon = HOME.point((feet_east * FT, 0.0))
    return Position(Decimal(f"{lat:.7f}"), Decimal(f"{lon:.7f}"), Decimal(r68), None, "gps")


def found(pen, body, position, sheets=()):
    (fact,) = standing([pen.write(body, at=position, field=FIELD)]).facts
    point = laid_at(fact, {})
    told = near(point, 1.6215 * float(position.r68_m) / FT, [WELL], 500.0) if point else ()
    return unusual(fact, Reading(date(2026, 6, 2), pen.zone, (), sheets, near=told))


@pytest.mark.parametrize(("feet", "r68", "codes"), [
    (40, "0.5", ["in_buffer"]), (99, "3", ["perhaps_in_buffer"]), (101, "30", []), (0, "0.5", ["in_buffer"]),
])  # fmt: skip
def test_a_stop_is_inside_a_buffer_as_surely_as_its_position(pen, feet, r68, codes):
    told = found(pen, LeafDepth(Decimal("4"), "fresh"), at(feet, r68))
    assert [one.code for one in told] == codes
    assert not told or told[0].facts["feet"] == feet


def test_a_sheet_that_asks_for_more_than_the_buffer_is_told_of_what_is_laid_and_of_no_measure(pen):
    farm = sheets_in_force(["farm"])
    (one,) = found(pen, LeafDepth(Decimal("4"), "fresh"), at(150), farm)
    assert (one.finding.code, one.finding.limit) == ("too_near_well", 200)
    assert found(pen, Cover("rye", Decimal("30"), "none"), at(150), farm) == ()
    assert found(pen, LeafDepth(Decimal("0.2"), "fresh"), at(150), farm) == ()


@st.composite
def stars(draw, x=0.0, y=0.0, reach=200.0):
    count = draw(st.integers(3, 10))
    turns = [math.tau * (k + draw(st.floats(0.0, 0.8))) / count for k in range(count)]
    far = [reach * draw(st.floats(0.3, 1.0)) for _ in turns]
    spots = [(x + r * math.cos(turn), y + r * math.sin(turn)) for r, turn in zip(far, turns, strict=True)]
    assume(Shape(spots).is_valid and Shape(spots).area > 400.0)
    return tuple(spots)


@settings(max_examples=40)
@given(outer=stars(), hole=stars(reach=40.0), off=stars(x=150.0, reach=60.0), feet=st.integers(1, 200), spot=st.tuples(
    st.floats(-300.0, 300.0), st.floats(-300.0, 300.0)))  # fmt: skip
def test_phone_and_server_agree_to_a_thousandth_over_polygons_with_holes(outer, hole, off, feet, spot):
    holes = (on_earth(hole),) if Shape(outer).buffer(-1.0).contains(Shape(hole)) else ()
    field = (Polygon(on_earth(outer), holes),)
    house = buffer(Polygon(on_earth(off)), str(feet), "house", "House")
    served = KeptOff.of([field], [house])
    phone = spreadable(field, [keep_off(house)])
    whole = acres_on_globe(Shape([(lon, lat) for lat, lon in field[0].outer]))
    assert served.left_ac(field) == pytest.approx(phone.area_ac, abs=whole / 1000)
    point = HOME.point(spot)
    ours, theirs = near(point, 0.0, [house], 2_000.0), served.near(point, 0.0, 2_000.0)
    assert [one.name for one in ours] == [one.name for one in theirs] == ["House"]
    assert theirs[0].distance_ft == pytest.approx(ours[0].distance_ft, rel=1e-3, abs=0.05)


def test_a_field_with_a_well_loses_a_disk_of_ground():
    square = (Polygon(on_earth([(-200, -200), (200, -200), (200, 200), (-200, 200)])),)
    left = KeptOff.of([square], [WELL]).left(square)
    taken = acres_on_globe(Shape([(lon, lat) for lat, lon in square[0].outer])) - acres_on_globe(left)
    assert taken == pytest.approx(math.pi * 100.0**2 / 43_560, rel=1e-4)
    assert not left.contains(Point(-75.0, 40.0))
    assert shapely.get_num_interior_rings(left) == 1


def test_a_pile_that_reaches_into_a_buffer_is_told_with_its_distance():
    pile = (Polygon(on_earth([(20.0, -5.0), (40.0, -5.0), (40.0, 5.0), (20.0, 5.0)])),)
    (one,) = KeptOff.of([], [WELL]).near_ground(pile)
    assert (one.name, one.inside, one.sure) == ("Yard well", True, True)
    assert one.distance_ft == pytest.approx(20.0 / FT, rel=1e-4)
    assert Near(WELL.id, "x", "well", 120.0, 100.0).inside is False
