"""What fields and farm need next, as rows: rewritten by the fold and by a farm-day's first pull (contract, W12)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import Q

from server.book import reads as book
from server.land.reads import sheets_in_force
from server.people import turns
from server.people.models import Farm
from server.people.reads import hands
from server.status import models
from server.status.family import family_of
from server.status.foresight import foresights
from server.status.holdings import Ground, ground_of
from shared.rules.sheet import Sheet
from shared.status.due import FarmToday, FieldToday, farm_dues, field_dues, with_jobs
from shared.status.fact import Fact
from shared.status.field_status import FieldStatus
from shared.status.needs.asked import NOTHING_FORESEEN, Foresight
from shared.status.piles import PileStatus
from shared.status.standing import standing
from shared.words.due import Due

OF_THE_FARM = frozenset(("document", "query", "answer", "job", "sheet_choice"))
"""Kinds after which the farm's own dues may be others, whatever field they are about."""

HANGS_ON_WEATHER = ("mow", "seed", "cover_round")


def farm_day(farm: Farm, now: datetime) -> date:
    return now.astimezone(ZoneInfo(farm.zone)).date()


def first_of_day(farm: Farm, now: datetime) -> bool:
    """Make all dues for today, where that was not done yet; whether it was done now."""
    today = farm_day(farm, now)
    if farm.dues_on == today:
        return False
    with transaction.atomic():
        here = Farm.objects.select_for_update().get(id=farm.id)
        if here.dues_on == today:
            return True
        make(here, now, None, ground_of(here.id))
    return True


def make(farm: Farm, now: datetime, touched: Iterable[UUID] | None, ground: Ground) -> None:
    """The dues of these fields and of the farm; of all fields where ``touched`` is None."""
    today, sheets = farm_day(farm, now), sheets_in_force(farm.id)
    anew = touched is None or farm.dues_on != today
    fields = set(ground.fields) if anew else ground.fields_of(touched or ())
    statuses = _statuses(farm.id, fields)
    ahead = foresights(farm.id, today, list(statuses.values()))
    asks = [_ask(one, farm, sheets, today, statuses, ground, ahead) for one in fields if _in_use(one, ground)]
    found = [due for ask in asks for due in field_dues(ask)]
    found += farm_dues(_farm_today(farm, sheets, today))
    told = with_jobs(found, facts_of(farm.id, "job"))
    _keep(farm.id, None if anew else fields, {one.id: one for one in told})
    if farm.dues_on != today:
        Farm.objects.filter(id=farm.id).update(dues_on=today)
        farm.dues_on = today


def hang_on_weather(farm: UUID) -> set[UUID]:
    """Fields whose dues a day's temperature may move: covers that grow, and ground that waits to be sown."""
    found = models.Due.objects.filter(farm_id=farm, job__in=HANGS_ON_WEATHER).exclude(field=None)
    return set(found.values_list("field", flat=True))


def _statuses(farm: UUID, fields: set[UUID]) -> dict[UUID, FieldStatus]:
    rows = models.Standing.objects.filter(farm_id=farm, field__in=fields, what="field")
    return {one.field: FieldStatus.from_tree(one.standing) for one in rows}


def _in_use(field: UUID, ground: Ground) -> bool:
    return not ground.fields[field].retired


def _ask(
    field: UUID,
    farm: Farm,
    sheets: Sequence[Sheet],
    today: date,
    statuses: dict[UUID, FieldStatus],
    ground: Ground,
    ahead: Mapping[UUID, Foresight],
) -> FieldToday:
    stands = statuses.get(field) or FieldStatus(field)
    known = ahead.get(field, NOTHING_FORESEEN)
    return FieldToday(stands, ground.holding(field), sheets, today, farm.next_season_on, known)


def _farm_today(farm: Farm, sheets: Sequence[Sheet], today: date) -> FarmToday:
    loads = book.of_kinds(farm.id, ("load",)).exclude(day=None).order_by()
    return FarmToday(
        today,
        sheets,
        _piles(farm.id),
        facts_of(farm.id, "document"),
        {on.year for on in loads.dates("day", "year")},
        [one.value() for one in models.Asked.objects.filter(farm_id=farm.id, answered=False)],
        farm.leaves_from,
    )


def _piles(farm: UUID) -> list[PileStatus]:
    rows = models.Standing.objects.filter(farm_id=farm, what="pile").order_by("field")
    return [PileStatus.from_tree(one.standing) for one in rows]


def facts_of(farm: UUID, kind: str) -> Sequence[Fact]:
    """What is in force of one kind, over the whole book."""
    ids = book.of_kinds(farm, (kind,)).exclude(entry=None).values_list("entry", flat=True)
    written = [value for row in family_of(farm, ids) if (value := book.written(row)) is not None]
    return [one for one in standing(written, hands(farm)).in_force if one.kind == kind]


def _keep(farm: UUID, fields: set[UUID] | None, told: dict[str, Due]) -> None:
    """Write what is new or other, and take away what is no more, of these fields and of the farm."""
    scope = models.Due.objects.filter(farm_id=farm)
    if fields is not None:
        scope = scope.filter(Q(field=None) | Q(field__in=fields))
    before = {one.ref: one for one in scope}
    gone = [(row, ref) for ref, row in before.items() if ref not in told]
    turns.remove(farm, "dues", gone)
    changed, back = [], []
    for ref, value in told.items():
        was = before.get(ref)
        if was is None or was.value() != value:
            row = models.Due.of(farm, value)
            row.pk = was.pk if was is not None else None
            changed.append(row)
            back += [ref] if was is None else []
    turns.put(farm, changed)
    if back:
        turns.back(farm, "dues", back)
