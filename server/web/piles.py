"""What the piles' page shows: each pile's balance, its oldest leaves, its towns and its heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from django.db import transaction

from server.land import reads as land
from server.land.setbacks import kept_off
from server.people.models import Farm
from server.status import piles as folds
from server.status import reads as status
from server.status.holdings import ground_of
from server.web.desk import Desk
from server.web.too_near import piles_near
from shared.errors import InputError
from shared.reckoning.loads import pile_volume
from shared.rules import storage, worded
from shared.rules.sheet import Sheet
from shared.rules.storage import Stored
from shared.status.kept_off import Near
from shared.status.needs.practice import HOT_F, WARM_F
from shared.status.piles import PileStatus
from shared.words.field import Pile

MOST_BELIEVED = Decimal(1_000_000)


@dataclass(frozen=True, slots=True)
class PileLine:
    """One pile. ``sized_yd3`` is its volume by the last height and length; ``heat`` is *hot*, *warm* or empty;
    ``says`` what the rule sheets say of its age and size."""

    pile: Pile
    field: str
    status: PileStatus
    age_days: int | None
    towns: Sequence[tuple[str, Decimal]]
    sized_yd3: float | None
    heat: str
    says: Sequence[str]
    near: Near | None

    @property
    def untold_yd3(self) -> Decimal:
        """What went out and was not told apart when it was folded."""
        one = self.status
        return one.out_yd3 - one.spread_yd3 - one.moved_on_yd3 - one.moved_off_yd3 - one.removed_yd3


def pile_lines(desk: Desk) -> list[PileLine]:
    """The piles in use by name, and those put by that still hold leaves."""
    farm = desk.farm.id
    known = {one.pile: one for one in told_apart(desk.farm)}
    piles = [one for one in land.piles(farm, retired=True) if not one.retired or _holds(known.get(one.id))]
    fields = {one.id: one.name for one in land.fields(farm, retired=True)}
    towns = {one.id: one.name for one in land.towns(farm, retired=True)}
    sheets = land.sheets_in_force(farm)
    near = {one.pile.id: one.near for one in piles_near(kept_off(farm), piles)}
    return [
        _line(desk, one, known.get(one.id) or PileStatus(one.id), fields, towns, sheets, near.get(one.id))
        for one in piles
    ]


def told_apart(farm: Farm) -> list[PileStatus]:
    """What stands of each pile; one that was folded before its balance was told apart is folded again."""
    standing = status.piles(farm.id)
    old = [one.pile for one in standing if one.in_yd3 != one.taken_yd3 + one.moved_in_yd3]
    if not old:
        return standing
    with transaction.atomic():
        folds.fold(farm, old, ground_of(farm.id))
    return status.piles(farm.id)


def _holds(told: PileStatus | None) -> bool:
    return told is not None and told.on_hand_yd3 > 0


def _line(
    desk: Desk,
    pile: Pile,
    told: PileStatus,
    fields: dict[UUID, str],
    towns: dict[UUID, str],
    sheets: Sequence[Sheet],
    near: Near | None,
) -> PileLine:
    oldest = told.oldest_on
    says: list[str] = []
    if oldest is not None and oldest <= desk.today and told.on_hand_yd3 <= MOST_BELIEVED:
        found = storage(sheets, Stored(pile.name, oldest, float(told.on_hand_yd3)), desk.today)
        says = [worded(one, desk.language, pile.name).says for one in found]
    return PileLine(
        pile,
        fields.get(pile.in_field, "") if pile.in_field else "",
        told,
        (desk.today - oldest).days if oldest else None,
        [(towns.get(town, ""), yards) for town, yards in sorted(told.towns, key=lambda one: -one[1])],
        _sized(told),
        _heat(told),
        says,
        near,
    )


def _sized(told: PileStatus) -> float | None:
    seen = told.checked
    if seen is None or not seen.height_ft or not seen.length_ft:
        return None
    try:
        return pile_volume(float(seen.height_ft), float(seen.length_ft)).yards_yd3
    except InputError:
        return None


def _heat(told: PileStatus) -> str:
    temp = told.checked.temp_f if told.checked else None
    if temp is None:
        return ""
    return "hot" if temp >= HOT_F.value else "warm" if temp >= WARM_F.value else ""
