"""Each field with all that a report is made from, in a number of queries that does not grow with the fields."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from uuid import UUID

from server.status import reads as status
from server.status.holdings import Ground, ground_of
from server.status.models import FieldYear
from shared.ahead.year_report import FieldBook
from shared.status.field_status import FieldStatus
from shared.status.field_year import FieldYear as YearValue
from shared.words.field import Field


def books_of(farm: UUID, ground: Ground | None = None, only: Iterable[UUID] | None = None) -> list[FieldBook]:
    """The fields of a farm that are not retired, by name; ``only`` some of them."""
    held = ground or ground_of(farm)
    wanted = None if only is None else set(only)
    fields = [one for one in held.fields.values() if not one.retired and (wanted is None or one.id in wanted)]
    stands = status.standings(farm)
    rows = FieldYear.objects.filter(farm_id=farm, field__in=[one.id for one in fields])
    years: dict[UUID, dict[int, YearValue]] = defaultdict(dict)
    for row in rows:
        years[row.field][row.year] = YearValue.from_tree(row.gathered)
    found = [_book(one, stands.get(one.id), years[one.id]) for one in fields]
    return sorted(found, key=lambda one: (one.name, str(one.id)))


def _book(field: Field, tree: dict[str, object] | None, years: dict[int, YearValue]) -> FieldBook:
    stands = FieldStatus.from_tree(tree) if tree else FieldStatus(field.id)
    acres = float(field.area_ac) if field.area_ac else None
    return FieldBook(field.id, field.name, acres, stands.legs, years, stands.laid, stands.worked, stands.odd)
