"""Queries over history go by an index, whatever the book's length: asserted on the database's own plan."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.db.models import QuerySet

from server.book import reads as book
from server.book.models import Row
from server.status.following import AT_ONCE
from tests.server.ground import Ground, HandPhone

pytestmark = pytest.mark.django_db


def plan(found: QuerySet[Row]) -> str:
    """How the database goes about it. PostgreSQL scans a small table whole whatever its indexes, unless told not to."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET LOCAL enable_seqscan = off; SET LOCAL enable_bitmapscan = off")
    return " ".join(found.explain().lower().replace('"', "").split())


def test_the_incremental_fold_reads_a_range_of_book_numbers_and_never_scans(
    ground: Ground, phone: HandPhone
) -> None:
    for _ in range(30):
        phone.write(field=ground.fields[0])
    phone.push()
    told = plan(book.rows(ground.farm.id, 10, AT_ONCE))
    if connection.vendor == "postgresql":
        assert "using row_number" in told
        assert "index cond: ((farm_id = " in told
        assert "(number > 10)" in told
    else:
        assert "search book_row using index" in told
        assert "(farm_id=? and number>?)" in told
    assert "scan book_row" not in told
    assert "sort" not in told
    assert "b-tree" not in told


def test_what_names_an_entry_and_what_a_field_has_are_found_by_their_own_indexes(ground: Ground) -> None:
    named = Row.objects.filter(farm_id=ground.farm.id, names__in=list(ground.fields))
    assert "row_names" in plan(named)
    assert "row_field" in plan(book.of_field(ground.farm.id, ground.fields[0]))
    assert "row_kind" in plan(book.of_kinds(ground.farm.id, ("load",)))


def test_what_is_looked_up_by_several_values_is_found_by_them_and_sorted_after(ground: Ground) -> None:
    """SQLite would walk the farm's whole book in its order instead, which a million entries make slow."""
    farm, several = ground.farm.id, list(ground.fields)
    entries = plan(Row.objects.filter(farm_id=farm, entry__in=several).order_by(book.SORTED))
    assert "row_entry" in entries or "(farm_id=? and entry=?)" in entries
    assert "row_names" in plan(Row.objects.filter(farm_id=farm, names__in=several).order_by(book.SORTED))
    assert "row_kind" in plan(book.of_kinds(farm, ("query", "answer", "strike")))
    assert "row_coded" in plan(book.held(farm))
    assert "row_again" in plan(book.read_again(farm))


def test_a_phones_own_lines_and_the_rows_of_a_day_are_found_by_indexes_of_those_alone(
    ground: Ground, phone: HandPhone
) -> None:
    assert "row_line" in plan(book.taken(phone.id).filter(line__range=(1, 500)))
    assert "row_day" in plan(book.of_day(ground.farm.id, date(2026, 6, 1)))
