"""Map: the farm as this phone has it, moved by hand or by keys."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from mobile.device.plain import Clicked
from mobile.presenters.map import CLOSEST, MapPresenter
from mobile.presenters.setback import around
from tests.mobile.farmland import PLANE, SPRING_PIECE
from tests.mobile.presenters.desk import Desk
from tests.mobile.presenters.test_round import begun

WELL_SETBACK_M = 50 * 0.3048


def opened(desk: Desk) -> MapPresenter:
    page: MapPresenter = desk.opened(MapPresenter(desk.session))
    return page


def test_fields_buffers_and_how_far_off_are_drawn(desk: Desk) -> None:
    land = opened(desk).view().land
    assert {one.name for one in land.shapes} == {"Spring Piece", "Quarry Side", "Kiln Bottom", "Over Lane"}
    (well,), (reach,) = land.buffers, land.setbacks
    for spot in reach:
        assert min(math.dist(spot, corner) for corner in well) == pytest.approx(WELL_SETBACK_M, abs=0.2)


@pytest.mark.parametrize(
    ("shape", "edge"),
    [
        (((0.0, 0.0),), 2 * math.pi * 10),
        (((0.0, 0.0), (30.0, 0.0)), 60 + 2 * math.pi * 10),
        (((0.0, 0.0), (0.0, 20.0), (20.0, 20.0), (20.0, 0.0)), 80 + 2 * math.pi * 10),
    ],
)
def test_an_outline_at_a_distance_is_as_long_as_steiner_says(
    shape: tuple[tuple[float, float], ...], edge: float
) -> None:
    """The perimeter of a convex shape and all within r of it: its own and the circle's (Steiner)."""
    ring = around(shape, 10.0)
    long = sum(math.dist(one, other) for one, other in zip(ring, (*ring[1:], ring[0]), strict=True))
    assert long == pytest.approx(edge, rel=0.01)


def test_the_stops_of_the_round_in_progress_are_drawn(desk: Desk) -> None:
    begun(desk, "cover", cover="rye")
    stops = opened(desk).view().land.stops
    assert [one.number for one in stops] == [str(at) for at in range(1, 11)]
    assert [one.number for one in stops if one.next] == ["1"]


def test_keys_alone_bring_every_spot_to_the_middle(desk: Desk) -> None:
    desk.stand(80, 60)
    page = opened(desk)
    assert page.view().wider == ""
    page.save()
    you = page.view().land.you
    assert page.view().middle == you
    page.tapped((12.0, 34.0))
    assert page.view().middle == (12.0, 34.0)
    for _ in range(20):
        page.save()
    assert page.view().closer == ""
    assert page.view().zoom == CLOSEST
    for _ in range(20):
        page.extra()
    assert (page.view().zoom, page.view().middle, page.view().wider) == (1.0, None, "")


def test_a_click_on_the_map_is_the_position_on_the_desktop_trial(desk: Desk) -> None:
    receiver = Clicked(desk.phone.clock)
    desk.session.phone = replace(desk.phone, receiver=receiver)
    page = opened(desk)
    assert "click" in page.view().under.lower()
    assert page.plane is not None
    page.tapped(page.plane.spot(PLANE.point((80, 60))))
    fix = receiver.fix().position
    assert fix is not None
    assert PLANE.spot((float(fix.lat), float(fix.lon))) == pytest.approx((80, 60), abs=0.02)
    assert fix.source == "map"
    shapes = {one.key: one for one in page.view().land.shapes}
    assert shapes[str(SPRING_PIECE)].name == "Spring Piece"
