"""How each pile stands: made again from all that speaks of it, whenever something does."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID
from zoneinfo import ZoneInfo

from server.people.models import Farm
from server.status.fields import facts_about, keep_standing
from server.status.holdings import Ground
from shared.status.piles import pile_status


def fold(farm: Farm, places: Iterable[UUID], ground: Ground) -> int:
    """The piles among these places, and how many they are."""
    piles = {one.id for one in ground.piles} & set(places)
    for pile in piles:
        status = pile_status(pile, facts_about(farm.id, {pile}), ZoneInfo(farm.zone))
        keep_standing(farm.id, pile, "pile", status.to_tree())
    return len(piles)
