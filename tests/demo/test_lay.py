"""The farm laid into a real book through the server's own doors: some days of it, every kind of line."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from django.db import transaction

from demo_fixtures import farm, people, towns
from demo_fixtures.book import Line, book, lately
from demo_fixtures.expected import spreadable_ac
from demo_fixtures.lay import FARM, Laid, fill
from server.book.models import Row
from server.land.models import Field, Town, Vehicle
from server.people.errors import FarmExists
from server.people.models import Boot, Person, Phone
from shared.sync.chain import head_over
from shared.wire import lines as wire

pytestmark = pytest.mark.django_db
SINCE = date(2026, 11, 16)


@pytest.fixture(scope="module")
def some() -> list[Line]:
    """The land, the legs and the last nine days."""
    return list(lately(book(), SINCE))


@pytest.fixture(scope="module")
def laid(django_db_setup: None, django_db_blocker, some: list[Line]) -> Iterator[Laid]:
    """Laid once for this file, inside one transaction that is rolled back at its end."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield fill(lines=some)
        transaction.set_rollback(True)


def test_the_book_holds_exactly_the_lines_that_were_drawn_and_the_phones_keep_the_same_heads(laid, some):
    assert laid.lines == len(some)
    rows = list(Row.objects.order_by("number"))
    assert sorted(bytes(one.raw) for one in rows) == sorted(one.raw for one in some)
    held = sorted(one.code for one in rows if one.outcome == "held")
    assert held == ["not_json", "unknown_key"]
    assert {one.outcome for one in rows} == {"kept", "held"}
    for key, chain in laid.chains.items():
        mine = [wire.sha(one.raw) for one in some if one.phone == key]
        phone = Phone.objects.get(id=chain.phone)
        assert (phone.line, phone.head) == (len(mine), head_over(mine)) == (chain.line, chain.head)
    by_time = [one.arrived_at for one in rows]
    assert by_time == sorted(by_time)


def test_land_people_towns_and_the_fast_clock_stand_as_they_were_drawn(laid):
    assert {one.id: one.name for one in Person.objects.all()} == {one.id: one.name for one in people.PEOPLE}
    assert {one.name for one in Town.objects.all()} == {one.name for one in towns.TOWNS}
    assert {one.label: one.bed_yd3 for one in Vehicle.objects.all()} == {
        one.label: one.bed_yd3 for one in towns.TRUCKS
    }
    fields = {one.id: one for one in Field.objects.all()}
    for plot in farm.PLOTS:
        assert fields[plot.id].area_ac == pytest.approx(farm.acres(plot), rel=1e-9)
        assert fields[plot.id].spreadable_ac == pytest.approx(spreadable_ac(plot.key), rel=2e-4)
    red = Boot.objects.filter(phone=laid.chains["red"].phone)
    assert {round(one.skew_ms / 60_000) for one in red} == {14}


def test_a_farm_that_is_there_already_is_not_laid_over(laid, some):
    with pytest.raises(FarmExists), transaction.atomic():
        fill(lines=some)
    assert Row.objects.filter(farm=FARM).count() == len(some)
