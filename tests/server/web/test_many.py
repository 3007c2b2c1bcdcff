"""Many fields ask the database no more often than few; and one person moves between several farms."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime
from decimal import Decimal

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from server.intake import desk
from server.intake.desk import Draft
from server.people import writes
from shared.languages import say
from shared.words.bodies.desk import LegChange
from tests.server.ground import found, fresh_id, land_body, square
from tests.server.web.farmyard import Farmyard, signed_in

NOVEMBER = datetime(2025, 11, 20, 15, tzinfo=UTC)


def grow(yard: Farmyard, count: int, first: int) -> None:
    """So many more fields with a part, a pile, a buffer, a leg, loads and stops each."""
    fields = [fresh_id() for _ in range(count)]
    drawn, told = [], []
    for place, field in enumerate(fields, first):
        here = square(f"40.{200 + place}", "-75.1")
        small = square(f"40.{200 + place}", "-75.0995", "0.0004")
        well = (((Decimal(f"40.{200 + place}"), Decimal("-75.0995")),),)
        drawn.append(Draft(land_body(field, f"Field {place}", here), field=field))
        drawn.append(Draft(land_body(fresh_id(), f"Part {place}", small, what="part", in_field=field)))
        drawn.append(Draft(land_body(fresh_id(), f"Pile {place}", small, what="pile", in_field=field)))
        buffer = land_body(
            fresh_id(), f"Well {place}", well, what="buffer", around="well", setback_ft=Decimal(50)
        )
        drawn.append(Draft(buffer))
        told.append(yard.draft(LegChange("leaf", date(2025, 10, 1), "as it stands"), field=field))
        told.append(yard.draft(yard.load_body(field), at=NOVEMBER))
        told.append(yard.draft(yard.load_body(drawn[-2].body.subject), at=NOVEMBER))
    desk.write(yard.farm, yard.ground.owner.id, drawn, yard.at)
    yard.write_all(told)


def asked(yard: Farmyard, owner: Client, pages: dict[str, str]) -> Counter[str]:
    out: Counter[str] = Counter()
    for name, address in pages.items():
        owner.get(address)
        with CaptureQueriesContext(connection) as queries:
            assert owner.get(address).status_code == 200
        out[name] = len(queries)
    return out


def test_no_page_of_the_land_or_the_gate_asks_more_often_for_more_fields(yard: Farmyard, owner: Client):
    pages = {
        "ribbons": yard.page("lie_of_the_land"),
        "map": yard.page("lie_of_the_land") + "?as=map",
        "land": yard.page("ground"),
        "field": yard.page("field", yard.ground.fields[0]),
        "piece": yard.page("piece", yard.ground.fields[0]),
        "gate": yard.page("gate_sheets") + "?season=2025",
        "piles": yard.page("piles"),
        "town": yard.page("town", yard.town) + "?season=2025",
    }
    grow(yard, 2, 1)
    few = asked(yard, owner, pages)
    grow(yard, 24, 3)
    assert asked(yard, owner, pages) == few


def test_a_person_of_several_farms_moves_between_them(yard: Farmyard, now):
    other = found("Thistle Bank", now())
    account = yard.ground.owner.account
    client = signed_in(yard.ground.owner)
    assert client.get("/")["Location"] == yard.page("lie_of_the_land")
    assert say("en", "land.farms.other") not in client.get(yard.page("the_farm")).content.decode()
    writes.add_person(other.farm.id, now(), name="Ana Reyes too", role="reader", account=account)
    text = client.get("/").content.decode()
    assert say("en", "land.farms.title") in text
    assert f"/farm/{yard.farm}/" in text
    assert f"/farm/{other.farm.id}/" in text
    theirs = client.get(f"/farm/{other.farm.id}/the-farm/").content.decode()
    assert "Thistle Bank" in theirs
    assert say("en", "land.farms.other") in theirs
    assert client.post(f"/farm/{other.farm.id}/the-farm/days/", {}).status_code == 403
