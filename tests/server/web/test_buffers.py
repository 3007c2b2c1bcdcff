"""Buffers from the desk to the warning: drawn or typed, taken off the ground for leaves, told where something stands
inside of one."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client

from server.intake import desk
from server.intake.desk import Draft
from server.land import reads as land
from server.reading.reads import of_entry
from shared.languages import say
from tests.server.conftest import Clock
from tests.server.ground import HandPhone, fresh_id, land_body, outcomes
from tests.server.web.farmyard import Farmyard

DEPTH = {"depth_in": "4", "layer": "fresh"}
"""The field lies from 40.1 to 40.102 north, from 75.1 to 75.098 west."""
WELL = ((("40.101", "-75.099"),),)


@pytest.fixture
def well(yard: Farmyard) -> Farmyard:
    """A well in the middle of Upper Rest: a point, 100 ft of ground kept free around it."""
    piece = tuple(tuple((Decimal(lat), Decimal(lon)) for lat, lon in ring) for ring in WELL)
    buffer = land_body(fresh_id(), "Yard well", piece, what="buffer", around="well", setback_ft=Decimal(100))
    desk.write(yard.farm, yard.ground.owner.id, [Draft(buffer)], yard.at)
    return yard


def stop(
    phone: HandPhone, field, lat: str, lon: str, kind: str = "leaf_depth", body=None, r68: str = "1"
) -> str:
    at = {"lat": lat, "lon": lon, "r68_m": r68, "fixed_at": None, "from": "gps"}
    tree = phone.write(kind=kind, body=body or DEPTH, field=field, at=at)
    assert outcomes(phone.push(len(phone.kept))) == ["kept"]
    return tree["id"]


def test_a_stop_inside_a_buffer_is_told_at_the_evening_reading_and_on_its_field(
    well: Farmyard, owner: Client, phone: HandPhone, now: Clock
):
    field = well.ground.fields[0]
    near, far = stop(phone, field, "40.10105", "-75.099"), stop(phone, field, "40.1015", "-75.099")
    (reason,) = of_entry(well.ground.fresh(), near, now()).reasons
    # 0.00005 degrees of latitude are 5.55 m, 18 ft.
    assert (reason.key, reason.facts["feet"], reason.facts["setback"]) == ("unusual.in_buffer", 18, 100)
    assert of_entry(well.ground.fresh(), far, now()).reasons == ()
    page = owner.get(well.page("field", field))
    (told,) = page.context["warned"].buffers
    assert (told.name, told.count, told.feet, str(told.entry)) == ("Yard well", 1, 18, near)
    assert say("en", "land.near.inside", count=1, feet=18, setback=100, on="1 June") in page.content.decode()


def test_a_load_is_told_where_it_was_written_in_the_field_and_not_at_the_gate(
    well: Farmyard, phone: HandPhone, now: Clock
):
    field = well.ground.fields[0]
    load = {
        "ticket": "26-1", "town": str(well.town), "beds": [["20", "100"]], "packing": "loose", "bags": "none",
        "checked": "tipped", "trash": "none", "trash_items": [], "trash_basis": "seen", "outcome": "taken",
        "to": [[str(field), "20"]],
    }  # fmt: skip
    inside = stop(phone, field, "40.10105", "-75.099", "load", load)
    elsewhere = load | {"ticket": "26-2", "to": [[str(well.ground.fields[1]), "20"]]}
    at_gate = stop(phone, field, "40.10105", "-75.099", "load", elsewhere)
    keys = [
        [one.key for one in of_entry(well.ground.fresh(), each, now()).reasons] for each in (inside, at_gate)
    ]
    assert keys == [["unusual.in_buffer"], []]


def test_the_buffer_is_taken_off_the_ground_for_leaves(well: Farmyard):
    field = land.field(well.farm, well.ground.fields[0])
    taken_ft2 = (field.area_ac - field.spreadable_ac) * 43_560
    assert taken_ft2 == pytest.approx(3.14159265 * 100**2, rel=1e-4)
    assert land.field(well.farm, well.ground.fields[1]).spreadable_ac == pytest.approx(
        field.area_ac, rel=1e-3
    )
