"""How each field stands: a push's plain facts merged into the field's years, or the years gathered again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from server.book import reads as book
from server.book.bulk import insert
from server.book.models import Row
from server.book.news import News
from server.people import turns
from server.people.models import Farm
from server.people.reads import hands
from server.status.family import family_of, telling_family
from server.status.holdings import Ground
from server.status.models import FieldYear, Standing, Touch
from shared.status.fact import Fact, Hands
from shared.status.field_status import of_years
from shared.status.field_year import FieldYear as YearValue
from shared.status.gathering import gathered, merged_years
from shared.status.standing import plain, standing
from shared.status.succession import handed_on, share_of, together
from shared.status.touched import touches
from shared.words.bodies import DESK_ONLY
from shared.words.entry import Written

BINDING = ("correction", "strike", "reading")
GROUND = ("land",)
UNTOLD = frozenset(("query", "answer", "reading", "seal", "restored", "redact", "plan", "document", "job"))
"""Kinds that no field's year is made from."""


def fold(farm: Farm, news: Sequence[News], spoken_of: set[UUID], ground: Ground) -> set[UUID]:
    """Take new rows in and answer with the places that stand differently now. ``spoken_of`` are the entries
    whose fields must be gathered again: something speaks of them, or of what speaks of them."""
    telling = [one for one in news if one.outcome == "kept" and one.kind not in UNTOLD]
    written = [value for one in telling if (value := one.written()) is not None]
    if not written and not spoken_of:
        return set()
    _note_touches(farm.id, written)
    places = _places_of(farm.id, spoken_of)
    again = ground.fields_of(places)
    again |= ground.fields_of(p for one in written if one.entry.kind in GROUND for p in touches(one.entry))
    again |= ground.followers(again | ground.fields_of(p for one in written for p in touches(one.entry)))
    desk = hands(farm.id)
    by_field: dict[UUID, list[Fact]] = defaultdict(list)
    for one in written:
        for field in ground.fields_of(touches(one.entry)) - again:
            if _plain(one, desk):
                by_field[field].append(plain(one))
    for field, facts in by_field.items():
        _merge(farm, field, facts, ground)
    for field in again:
        gather(farm, field, ground)
    return places.union(*(touches(one.entry) for one in written), by_field, again)


def _plain(one: Written, desk: Hands) -> bool:
    return one.entry.kind not in BINDING and (one.entry.kind not in DESK_ONLY or desk.at_desk(one))


def _note_touches(farm: UUID, written: Iterable[Written]) -> None:
    insert(
        Touch,
        ("farm", "place", "row"),
        [[farm, place, one.number] for one in written for place in touches(one.entry) - {one.entry.field}],
    )


def _places_of(farm: UUID, entries: set[UUID]) -> set[UUID]:
    """The ground that these entries, and those they belong to, speak of."""
    if not entries:
        return set()
    values = [value for row in family_of(farm, entries) if (value := book.written(row)) is not None]
    return set().union(*(touches(one.entry) for one in values)) if values else set()


def _merge(farm: Farm, field: UUID, facts: Sequence[Fact], ground: Ground) -> None:
    land = ground.holding(field)
    new = gathered(facts, land, ZoneInfo(farm.zone))
    rows = {one.year: one for one in FieldYear.objects.filter(farm_id=farm.id, field=field)}
    years = {year: YearValue.from_tree(row.gathered) for year, row in rows.items()}
    merged = merged_years(years, new)
    for year in new:
        _keep(farm.id, field, year, merged[year], rows.get(year))
    _stand(farm.id, field, merged, ground)


def _keep(farm: UUID, field: UUID, year: int, value: YearValue, row: FieldYear | None) -> None:
    if row is None:
        FieldYear.objects.create(farm_id=farm, field=field, year=year, gathered=value.to_tree())
    else:
        row.gathered = value.to_tree()
        row.save(update_fields=("gathered",))


def _stand(farm: UUID, field: UUID, years: dict[int, YearValue], ground: Ground) -> None:
    """The field's status from its years; a row that says the same as before keeps its turn."""
    keep_standing(farm, field, "field", of_years(years.values(), ground.holding(field)).to_tree())


def keep_standing(farm: UUID, place: UUID, what: str, tree: dict[str, Any]) -> None:
    row = Standing.objects.filter(farm_id=farm, field=place).first()
    if row is None or row.standing != tree:
        row = row or Standing(farm_id=farm, field=place, what=what)
        row.standing = tree
        turns.put(farm, [row])


def facts_about(farm: UUID, places: set[UUID]) -> list[Fact]:
    """What is in force of all that speaks of these places."""
    closed = telling_family(farm, rows_of(farm, places))
    written = {row.number: value for row in closed if (value := book.written(row)) is not None}
    unreadable = {row.entry for row in closed if row.entry is not None and row.number not in written}
    return list(standing(written.values(), hands(farm), unreadable).in_force)


def gather(farm: Farm, field: UUID, ground: Ground) -> int:
    """Gather a field's years again from all that the book says of it, and answer with how many facts."""
    facts = _facts_of(farm.id, field, ground, frozenset())
    years = gathered(facts, ground.holding(field), ZoneInfo(farm.zone))
    FieldYear.objects.filter(farm_id=farm.id, field=field).delete()
    for year, value in years.items():
        _keep(farm.id, field, year, value, None)
    _stand(farm.id, field, years, ground)
    return len(facts)


def _facts_of(farm: UUID, field: UUID, ground: Ground, above: frozenset[UUID]) -> list[Fact]:
    """The field's own facts and its share of those of the fields that it came of."""
    own = [one for one in facts_about(farm, ground.places_of(field)) if one.kind not in UNTOLD]
    here, handed = ground.fields[field], []
    for old in ground.before.get(field, ()):
        was = ground.fields.get(old)
        if was is not None and old not in above:
            share = share_of(here.area_ac, was.area_ac)
            theirs = _facts_of(farm, old, ground, above | {field})
            handed += handed_on(theirs, old, field, share, here.outline)
    return [*own, *together(handed)]


def rows_of(farm: UUID, places: set[UUID]) -> list[Row]:
    """Every row that speaks of one of these places."""
    touched = Touch.objects.filter(farm_id=farm, place__in=places).values("row")
    here = book.looked_up(farm).filter(Q(field__in=places) | Q(number__in=touched))
    return list(here.exclude(entry=None).order_by("number"))


def note_again(farm: UUID, first: int, last: int, written: Iterable[Written]) -> None:
    """The touches of these rows of the book, which are all from ``first`` to ``last``, in place of those kept."""
    Touch.objects.filter(farm_id=farm, row__range=(first, last)).delete()
    _note_touches(farm, (one for one in written if one.outcome == "kept" and one.entry.kind not in UNTOLD))
