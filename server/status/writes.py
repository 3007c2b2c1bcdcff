"""Making the status rows again from the book. ``shared.status`` says what follows; this keeps it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from django.db import transaction

from server.land import fold as land
from server.people.models import Farm
from server.status import asked, dues, fields, pictures, piles, verdicts
from server.status.holdings import ground_of


def rebuild_all(now: datetime) -> Iterator[tuple[str, int]]:
    """Each farm's name and how many rows follow from its book; a farm at a time, each in one transaction."""
    for farm in Farm.objects.order_by("name"):
        yield farm.name, rebuild(farm, now)


@transaction.atomic
def rebuild(farm: Farm, now: datetime) -> int:
    """All that follows from one farm's book, made again."""
    here = Farm.objects.select_for_update().get(id=farm.id)
    rows = land.rebuild(here)
    ground = ground_of(here.id)
    rows += asked.rebuild(here) + verdicts.rebuild(here) + fields.rebuild(here, ground)
    rows += pictures.rebuild(here)
    rows += piles.fold(here, {one.id for one in ground.piles}, ground)
    dues.make(here, now, None, ground)
    Farm.objects.filter(id=here.id).update(folded=here.number)
    return rows
