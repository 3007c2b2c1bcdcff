"""The land and where loads come from, as the pages and the phones read them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from uuid import UUID

from server.land import models
from server.people.lookup import known
from shared import rules
from shared.rules.sheet import Sheet as RuleSheet
from shared.words.farm import SheetInForce
from shared.words.field import Buffer, Field, Part, Pile
from shared.words.leg import Leg
from shared.words.town import Hauler, Town, Vehicle

DRAWN: dict[str, type[models.Drawn]] = {
    "field": models.Field,
    "part": models.Part,
    "pile": models.Pile,
    "buffer": models.Buffer,
}


def fields(farm: UUID, retired: bool = False) -> list[Field]:
    """The fields by name; the retired only if asked for."""
    return [one.value() for one in _kept(models.Field, farm, retired).order_by("name")]


def field(farm: UUID, field: UUID) -> Field | None:
    found = models.Field.objects.filter(farm_id=farm, id=field).first()
    return found.value() if found else None


def parts(farm: UUID, retired: bool = False) -> list[Part]:
    return [one.value() for one in _kept(models.Part, farm, retired).order_by("name")]


def piles(farm: UUID, retired: bool = False) -> list[Pile]:
    return [one.value() for one in _kept(models.Pile, farm, retired).order_by("name")]


def buffers(farm: UUID, retired: bool = False) -> list[Buffer]:
    return [one.value() for one in _kept(models.Buffer, farm, retired).order_by("name")]


def towns(farm: UUID, retired: bool = False) -> list[Town]:
    return [one.value() for one in _kept(models.Town, farm, retired).order_by("name")]


def haulers(farm: UUID, retired: bool = False) -> list[Hauler]:
    return [one.value() for one in _kept(models.Hauler, farm, retired).order_by("name")]


def vehicles(farm: UUID, retired: bool = False) -> list[Vehicle]:
    return [one.value() for one in _kept(models.Vehicle, farm, retired).order_by("label")]


def sheets(farm: UUID) -> list[SheetInForce]:
    """The rule sheets that the farm ever chose, with whether they are in force."""
    return [one.value() for one in models.Sheet.objects.filter(farm_id=farm).order_by("sheet")]


def sheets_in_force(farm: UUID) -> tuple[RuleSheet, ...]:
    """The rule sheets in force; one that this version no longer knows is left out."""
    rows = list(models.Sheet.objects.filter(farm_id=farm, in_force=True).order_by("sheet"))
    own = [rules.own_sheet(row.text, row.sheet) for row in rows if row.text]
    known = {*rules.sheet_names(), *(one.name for one in own)}
    return rules.sheets_in_force([row.sheet for row in rows if row.sheet in known], own)


def legs(farm: UUID, field: UUID | None = None) -> dict[UUID, list[Leg]]:
    """The legs by field, each field's in the order of their first days."""
    found = models.Leg.objects.filter(farm_id=farm).order_by("starts_on", "row")
    out: dict[UUID, list[Leg]] = {}
    for one in found if field is None else found.filter(field=field):
        out.setdefault(one.field, []).append(one.value())
    return out


def leg_on(legs_of_field: Iterable[Leg], day: date) -> Leg | None:
    """The leg that a field is in on this day, from its legs in order."""
    current = None
    for one in legs_of_field:
        if one.starts_on <= day:
            current = one
    return current


def versions(farm: UUID, subject: UUID) -> list[models.Version]:
    """Every version of one piece of land, in the order of the book."""
    return list(models.Version.objects.filter(farm_id=farm, subject=subject).order_by("row"))


def ground(farm: UUID, subject: UUID) -> tuple[str, models.Drawn] | None:
    """One piece of land as it is drawn now, with what it is; None where the farm has none under this id."""
    for what, model in DRAWN.items():
        row = model.objects.filter(farm_id=farm, id=subject).first()
        if row is not None:
            return what, row
    return None


def came_of(farm: UUID) -> dict[UUID, tuple[UUID, ...]]:
    """Each piece of land that was cut off others or joined from them, with those."""
    found = models.Version.objects.filter(farm_id=farm).exclude(before=[]).order_by("row")
    return {subject: tuple(map(UUID, before)) for subject, before in found.values_list("subject", "before")}


def tiles(farm: UUID) -> models.Tiles | None:
    """Where the map's background comes from, if the farm has set that."""
    return models.Tiles.objects.filter(farm_id=farm).first()


def known_fields(farm: UUID, ids: Iterable[UUID]) -> frozenset[UUID]:
    """Which of these were ever this farm's fields."""
    return known(models.Field, farm, ids)


def _kept(model, farm: UUID, retired: bool):  # type: ignore[no-untyped-def]
    found = model.objects.filter(farm_id=farm)
    return found if retired else found.filter(retired=False)
