"""The status rows follow the book: whoever looks at them has them brought up to its last number first.

A push only writes the book. So no fault in a fold can ever stand between a phone and the book, and a push takes no
longer for what was written before it; see docs/decisions.
"""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import F

from server.book import reads as book
from server.book.placing import place, placed
from server.land import fold as land
from server.people.clock import now as clock_now
from server.people.models import Farm
from server.status import fold as status

AT_ONCE = 2_000
"""Rows folded in one transaction: what a phone that pushes meanwhile has to wait for."""


def followed(farm: UUID, now: datetime | None = None) -> None:
    """Everything up to the book's last number is in the status rows after this."""
    while Farm.objects.filter(id=farm, folded__lt=F("number")).exists():
        placed(farm)
        with transaction.atomic():
            catch_up(Farm.objects.select_for_update().get(id=farm), now or clock_now())


def catch_up(farm: Farm, now: datetime) -> None:
    """Fold the next rows in. ``farm`` is the farm's row as this transaction has locked it."""
    if farm.folded >= farm.number:
        return
    place(farm)
    news = [book.news_of(row) for row in book.rows(farm.id, farm.folded, AT_ONCE)]
    land.fold(farm, news, now)
    status.fold(farm, news, now)
    farm.folded = news[-1].number
    Farm.objects.filter(id=farm.id).update(folded=farm.folded)
