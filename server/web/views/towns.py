"""Where loads come from: towns with what was agreed, haulers, trucks with their bed measured once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.db.models import Model
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from server.land import models, writes
from server.people import reads
from server.people.clock import now
from server.people.models import Farm
from server.web.desk import Desk, page, shown
from server.web.given import Given
from server.web.hands import ChangedSince
from shared.errors import GoodgroundError
from shared.languages import say
from shared.words.bodies.gate import Packing

PACKINGS = Packing.__args__  # type: ignore[attr-defined]
Columns = Callable[[Given, UUID], dict[str, Any]]


def _town(given: Given, farm: UUID) -> dict[str, Any]:
    return {
        "name": given.text("name"),
        "season_cap_yd3": given.decimal("season_cap_yd3", "0", "1000000", needed=False),
        "organic_approved_on": given.day("organic_approved_on", needed=False),
    }


def _hauler(given: Given, farm: UUID) -> dict[str, Any]:
    return {"name": given.text("name")}


def _truck(given: Given, farm: UUID) -> dict[str, Any]:
    return {
        "label": given.text("name", most=100),
        "town_id": given.id("town", _ids(models.Town, farm)),
        "hauler_id": given.id("hauler", _ids(models.Hauler, farm), needed=False),
        "bed_yd3": given.decimal("bed_yd3", "1", "150"),
        "packing": given.choice("packing", PACKINGS),
        "plate": given.text("plate", needed=False, most=20) or None,
    }


def _ids(model: type[Model], farm: UUID) -> set[UUID]:
    return set(model._default_manager.filter(farm_id=farm).values_list("id", flat=True))


KINDS: dict[str, tuple[type[Any], Callable[..., Any], Columns]] = {
    "town": (models.Town, writes.put_town, _town),
    "hauler": (models.Hauler, writes.put_hauler, _hauler),
    "truck": (models.Vehicle, writes.put_vehicle, _truck),
}


@page(reads.DESK_ROLES, methods=("GET", "HEAD", "POST"))
def towns(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Everything that loads come from, each changed in its own row; a form for each kind's next one."""
    given = Given(request.POST)
    kind = given.choice("kind", KINDS, needed=False)
    if request.method == "POST" and kind:
        try:
            if _save(desk, kind, given):
                messages.info(request, say(desk.language, "pages.towns.saved", name=given.raw("name")))
                return HttpResponseRedirect(request.path)
        except GoodgroundError as refused:
            messages.error(request, say(desk.language, f"refusals.{refused.code}.detail"))
            return HttpResponseRedirect(request.path)
    farm = desk.farm.id
    return shown(
        request,
        desk,
        "towns",
        status=200 if given else 400,
        towns=list(models.Town.objects.filter(farm_id=farm).order_by("retired", "name")),
        haulers=list(models.Hauler.objects.filter(farm_id=farm).order_by("retired", "name")),
        trucks=list(models.Vehicle.objects.filter(farm_id=farm).order_by("retired", "label")),
        packings=PACKINGS,
        given=given,
        kind=kind,
        which=given.raw("id"),
    )


def _save(desk: Desk, kind: str, given: Given) -> bool:
    """Whether it could be saved. Raises ``ChangedSince`` where somebody changed it since the form was made."""
    model, put, columns_of = KINDS[kind]
    columns = columns_of(given, desk.farm.id) | {"retired": given.ticked("retired")}
    id = given.id("id", _ids(model, desk.farm.id), needed=False)
    if not given:
        return False
    with transaction.atomic():
        Farm.objects.select_for_update().only("id").get(id=desk.farm.id)
        if id is not None and model.objects.get(id=id).turn != given.turn():
            raise ChangedSince
        put(desk.farm.id, now(), id, **columns)
    return True
