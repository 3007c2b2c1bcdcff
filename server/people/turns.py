"""The farm's two counters, and the one writer of reference rows (contract, W11, W11b)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from uuid import UUID

from django.db import connection, transaction

from server.people.models import Farm, Gone, Reference
from shared.wire.pull import KINDS_PULLED

AT_ONCE = 500


def counted(farm: UUID, numbers: int = 0, turns: int = 0) -> tuple[int, int]:
    """The farm's counters after so many more of each. The row stays locked until the transaction ends, so that
    the order of numbers is the order of commits and no reader ever finds a hole."""
    if not connection.in_atomic_block:
        raise transaction.TransactionManagementError("numbers are taken inside a transaction")
    pk = Farm._meta.get_field("id").get_db_prep_value(farm, connection)
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE people_farm SET number = number + %s, turn = turn + %s WHERE id = %s RETURNING number, turn",
            [numbers, turns, pk],
        )
        number, turn = cursor.fetchone()
    return number, turn


def put(farm: UUID, rows: Sequence[Reference]) -> None:
    """Write these reference rows, new or changed, each with a turn of its own."""
    if not rows:
        return
    with transaction.atomic():
        last = counted(farm, turns=len(rows))[1]
        for turn, row in enumerate(rows, last - len(rows) + 1):
            row.turn = turn
        for model, several in groupby(sorted(rows, key=_kind), key=type):
            _written(model, list(several))


def _kind(row: Reference) -> str:
    return type(row).__name__


def _written(model: type[Reference], rows: Sequence[Reference]) -> None:
    """New and changed rows of a model, many in a statement: what is there already by its key is replaced."""
    keyed = [one for one in rows if one.pk is not None]
    model._base_manager.bulk_create([one for one in rows if one.pk is None], AT_ONCE)
    if len(keyed) == 1:
        keyed[0].save()
    elif keyed:
        columns = [one.name for one in model._meta.concrete_fields if not one.primary_key]
        key = model._meta.pk.name
        model._base_manager.bulk_create(
            keyed, AT_ONCE, update_conflicts=True, unique_fields=[key], update_fields=columns
        )


def remove(farm: UUID, kind: str, rows: Iterable[tuple[Reference, str]]) -> None:
    """Delete these rows; each leaves a tombstone under the name that phones know it by."""
    if kind not in KINDS_PULLED:
        raise ValueError(f"{kind!r} is no kind that phones pull")
    leaving = list(rows)
    if not leaving:
        return
    with transaction.atomic():
        last = counted(farm, turns=len(leaving))[1]
        for turn, (row, ref) in enumerate(leaving, last - len(leaving) + 1):
            row.delete()
            Gone.objects.update_or_create(farm_id=farm, kind=kind, ref=ref, defaults={"turn": turn})


def back(farm: UUID, kind: str, refs: Sequence[str]) -> None:
    """Rows of these names are there again: their tombstones go."""
    if not refs:
        return
    Gone.objects.filter(farm_id=farm, kind=kind, ref__in=refs).delete()


def clear_tombstones(farm: UUID, up_to: int) -> None:
    """Forget what went at or before this turn: a phone whose cursor is older starts over (W13)."""
    with transaction.atomic():
        counted(farm)
        Gone.objects.filter(farm_id=farm, turn__lte=up_to).delete()
        Farm.objects.filter(id=farm, gone_before__lt=up_to).update(gone_before=up_to)
