"""Which photos the entries name."""

from __future__ import annotations

from collections.abc import Iterable

from server.book.news import News
from server.people.models import Farm
from server.status.models import Pictured


def fold(farm: Farm, news: Iterable[News]) -> int:
    """The photos that new kept rows name, and how many they are."""
    named: list[Pictured] = []
    for one in news:
        entry = one.read() if one.outcome == "kept" and one.id is not None else None
        if entry is None or not entry.photos:
            continue
        for photo in {each.sha256: each for each in entry.photos}.values():
            named.append(
                Pictured(
                    farm_id=farm.id,
                    sha256=photo.sha256,
                    entry=one.id,
                    row=one.number,
                    size=photo.bytes,
                    type=photo.type,
                    arrived_at=one.arrived_at,
                )
            )
    Pictured.objects.bulk_create(named)
    return len(named)


def note_again(farm: Farm, first: int, last: int, news: Iterable[News]) -> int:
    """The photos that these rows name, which are all from ``first`` to ``last``, in place of those kept."""
    Pictured.objects.filter(farm_id=farm.id, row__range=(first, last)).delete()
    return fold(farm, news)
