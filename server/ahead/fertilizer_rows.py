"""The tables of fertilizer as the farm keeps them: read, a row added, corrected, ended; none is ever lost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction

from server.ahead.models import FertilizerRow
from server.people.ids import new_id
from shared.ahead.fertilizer_sheet import COLUMNS, Table, tables_from
from shared.ahead.fertilizer_tables import Tables

TABLES: tuple[Table, ...] = tuple(COLUMNS)
MOST_KEPT = 5_000
"""Rows that a farm may have in a table, ended ones too: more would hold up the page."""


def tables_of(farm: UUID) -> Tables:
    """All rows that stand now, as values."""
    rows: dict[Table, list[Mapping[str, str]]] = {one: [] for one in TABLES}
    for row in FertilizerRow.objects.filter(farm_id=farm, ended_at=None).order_by("made_at", "id"):
        if row.table in rows:
            rows[row.table].append(row.values)  # type: ignore[index]
    return tables_from(rows)


def listed(farm: UUID, table: Table) -> list[FertilizerRow]:
    """Every row of a table, those that stand first; then by what they say."""
    rows = FertilizerRow.objects.filter(farm_id=farm, table=table)
    first = [one.name for one in COLUMNS[table]]
    return sorted(
        rows, key=lambda row: (row.ended_at is not None, [row.values.get(one, "") for one in first])
    )


def row_of(farm: UUID, table: Table, row: UUID) -> FertilizerRow | None:
    """A row that stands, None where there is none such (any more)."""
    return FertilizerRow.objects.filter(farm_id=farm, table=table, id=row, ended_at=None).first()


def add(
    farm: UUID, table: Table, several: Sequence[Mapping[str, str]], person: UUID, now: datetime
) -> tuple[int, int]:
    """Write checked rows in one go; how many were new, and how many stood there already, word for word."""
    here = [row.values for row in FertilizerRow.objects.filter(farm_id=farm, table=table, ended_at=None)]
    fresh = [one for one in several if dict(one) not in here]
    rows = [
        FertilizerRow(
            id=new_id(now), farm_id=farm, table=table, values=dict(one), made_at=now, made_by=person
        )
        for one in fresh
    ]
    FertilizerRow.objects.bulk_create(rows)
    return len(fresh), len(several) - len(fresh)


def full(farm: UUID, table: Table, more: int) -> bool:
    return FertilizerRow.objects.filter(farm_id=farm, table=table).count() + more > MOST_KEPT


def end(farm: UUID, table: Table, row: UUID, person: UUID, why: str, now: datetime) -> bool:
    """End a row; whether it stood until now (somebody else may have been first)."""
    standing = FertilizerRow.objects.filter(farm_id=farm, table=table, id=row, ended_at=None)
    return bool(standing.update(ended_at=now, ended_by=person, ended_why=why))


def correct(
    farm: UUID, table: Table, row: UUID, values: Mapping[str, str], person: UUID, why: str, now: datetime
) -> bool:
    """End a row and write what stands in its place; whether it stood until now."""
    with transaction.atomic():
        if not end(farm, table, row, person, why, now):
            return False
        FertilizerRow.objects.create(
            id=new_id(now),
            farm_id=farm,
            table=table,
            values=dict(values),
            made_at=now,
            made_by=person,
            corrects=row,
        )
    return True
