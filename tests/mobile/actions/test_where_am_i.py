"""Which field the phone stands in: sure, or not sure with the fields it may be."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest

from mobile.actions.land import fields
from mobile.actions.where_am_i import Place, where_am_i
from mobile.ports import Phone
from shared.reckoning.land import radius95
from shared.wire.pull import Page, row_tree
from shared.words.field import Field
from shared.words.place import Polygon
from tests.mobile.kit import walked

WEST, EAST, GONE = UUID(int=1), UUID(int=2), UUID(int=3)
LAT = 39.7
METRE_E = 1 / 85_700
"""Degrees of longitude in a metre at this latitude, near enough for where to stand."""


def square(id: UUID, name: str, west: float, east: float, retired: bool = False) -> Field:
    ring = ((LAT, west), (LAT, east), (LAT + 0.002, east), (LAT + 0.002, west))
    return Field(id, name, 1, (Polygon(ring),), 5.0, retired=retired)


@pytest.fixture
def phone_at(tmp_path: Path) -> tuple[Phone, int]:
    phone, _, _, at = walked(tmp_path)
    land = [
        square(WEST, "West Long", -75.104, -75.102),
        square(EAST, "East Long", -75.102, -75.100),
        square(GONE, "Old Orchard", -75.110, -75.108, retired=True),
        Field(UUID(int=4), "Not drawn", 1, None, None),
    ]
    phone.book.store_page(at, Page({"fields": [row_tree(one) for one in land]}, {}, "c", False), 0)
    return phone, at


def here(phone_at: tuple[Phone, int], lon: float, r68_m: str | None = "3", lat: float = LAT + 0.001) -> Place:
    phone, at = phone_at
    phone.receiver.stand(f"{lat:.7f}", f"{lon:.7f}", r68_m)
    return where_am_i(phone, at)


def test_well_inside_a_field_it_is_sure(phone_at: tuple[Phone, int]) -> None:
    place = here(phone_at, -75.103)
    assert (place.sureness, place.field.name, place.candidates) == ("sure", "West Long", ())
    assert place.r95_m == radius95(3.0).r95_m


@pytest.mark.parametrize(("metres_in", "sureness"), [(5.5, "sure"), (4.0, "not_sure"), (-4.0, "not_sure")])
def test_within_the_95_percent_radius_of_the_boundary_it_asks_instead_of_guessing(
    phone_at: tuple[Phone, int], metres_in: float, sureness: str
) -> None:
    place = here(phone_at, -75.102 - metres_in * METRE_E)
    assert place.sureness == sureness
    if sureness == "not_sure":
        assert place.field is None
        assert {one.name for one in place.candidates} == {"West Long", "East Long"}


def test_the_likelier_field_stands_first(phone_at: tuple[Phone, int]) -> None:
    assert here(phone_at, -75.102 - 3 * METRE_E).candidates[0].name == "West Long"
    assert here(phone_at, -75.102 + 3 * METRE_E).candidates[0].name == "East Long"


@pytest.mark.parametrize("r68_m", [None, "400"])
def test_a_position_known_badly_or_not_at_all_is_never_sure(
    phone_at: tuple[Phone, int], r68_m: str | None
) -> None:
    assert here(phone_at, -75.103, r68_m).sureness == "not_sure"


def test_off_the_farm_it_names_the_nearest_field_and_how_far(phone_at: tuple[Phone, int]) -> None:
    place = here(phone_at, -75.100 + 200 * METRE_E)
    assert (place.sureness, place.field) == ("off_farm", None)
    assert place.candidates[0].name == "East Long"
    assert place.nearest_m == pytest.approx(200.0, rel=0.01)


def test_a_retired_field_is_no_field_to_stand_in(phone_at: tuple[Phone, int]) -> None:
    assert here(phone_at, -75.109).sureness == "off_farm"
    assert "Old Orchard" not in {one.name for one in fields(*phone_at)}


def test_without_a_position_it_says_why(phone_at: tuple[Phone, int]) -> None:
    phone, at = phone_at
    phone.receiver.lose("not_allowed")
    place = where_am_i(phone, at)
    assert (place.sureness, place.fix.why) == ("no_position", "not_allowed")


def test_before_the_land_has_come_there_is_none(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    phone.receiver.stand("39.7", "-75.1")
    assert where_am_i(phone, at).sureness == "no_land"


def test_a_position_exactly_as_good_as_zero_metres_is_not_taken_for_unknown(
    phone_at: tuple[Phone, int],
) -> None:
    phone, at = phone_at
    phone.receiver.stand("39.701", "-75.103", "0.1")
    assert where_am_i(phone, at).fix.position.r68_m == Decimal("0.1")
    assert where_am_i(phone, at).sureness == "sure"
