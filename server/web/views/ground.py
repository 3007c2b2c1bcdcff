"""The land: every field, part, pile and buffer, drawn on the map or typed, each change a version with its reason."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.intake.desk import Draft, write
from server.land import reads as land
from server.land import writes
from server.land.models import Drawn, Field
from server.land.setbacks import kept_off
from server.people import reads as people
from server.people.clock import now
from server.people.ids import new_id
from server.people.models import Farm
from server.web import ground_form
from server.web.desk import Desk, page, shown, told
from server.web.given import Given
from server.web.hands import ChangedSince
from server.web.map_data import land_map, plain_lines
from server.web.too_near import piles_near
from shared.languages import say
from shared.rules import widest_setback_ft
from shared.status.kept_off import FEATURE_OF
from shared.words.bodies.desk import Land

BOTH = ("GET", "HEAD", "POST")
MOST_ADDRESS = 400
TILES_EXAMPLE = "https://tiles.example/{z}/{x}/{y}.png"


@page()
def ground(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Everything drawn, with its facts, and the map of it."""
    farm = desk.farm.id
    rows = list(Field.objects.filter(farm_id=farm).order_by("name"))
    named = {one.id: one.name for one in rows}
    used = [one for one in rows if not one.retired]
    piles = land.piles(farm)
    return shown(
        request,
        desk,
        "ground",
        fields=used,
        parts=[(one, named.get(one.field, "")) for one in land.parts(farm)],
        piles=[(one, named.get(one.in_field, "") if one.in_field else "") for one in piles],
        buffers=land.buffers(farm),
        gone=[one for one in rows if one.retired],
        near=piles_near(kept_off(farm), piles),
        map=land_map(desk, plain_lines(one.value() for one in used)),
        tiles=land.tiles(farm),
        tiles_example=TILES_EXAMPLE,
        given=Given(request.POST),
    )


@page(people.DESK_ROLES, methods=BOTH)
def new_piece(request: HttpRequest, desk: Desk) -> HttpResponse:
    """A new field, part, pile or buffer; which, the address says."""
    what = request.GET.get("what", "field")
    if what not in ground_form.WHATS:
        return told(request, "no_such_ground", 404)
    return _piece(request, desk, what, None)


@page(people.DESK_ROLES, methods=BOTH)
def piece(request: HttpRequest, desk: Desk, ground: UUID) -> HttpResponse:
    """The next version of what is drawn already."""
    found = land.ground(desk.farm.id, ground)
    if found is None:
        return told(request, "no_such_ground", 404)
    return _piece(request, desk, *found)


def _piece(request: HttpRequest, desk: Desk, what: str, row: Drawn | None) -> HttpResponse:
    given = Given(request.POST)
    if request.method == "POST":
        try:
            if _save(desk, given, what, row):
                messages.info(request, say(desk.language, "land.draw.saved", name=given.raw("name")))
                return HttpResponseRedirect(reverse("ground", args=[desk.farm.id]))
        except ChangedSince:
            messages.error(request, say(desk.language, "refusals.changed_since.detail"))
            return HttpResponseRedirect(request.get_full_path())
    return shown(request, desk, "piece", status=200 if given else 400, **_facts(desk, given, what, row))


def _save(desk: Desk, given: Given, what: str, row: Drawn | None) -> bool:
    """Whether it could be saved. Raises ``ChangedSince`` where somebody drew it anew since the form was made."""
    subject = row.id if row else new_id(now())
    fields = {one.id for one in land.fields(desk.farm.id)}
    body = ground_form.land_of(given, what, subject, row, fields)
    if body is None:
        return False
    with transaction.atomic():
        Farm.objects.select_for_update().only("id").get(id=desk.farm.id)
        found = land.ground(desk.farm.id, subject)
        if row is not None and (found is None or str(found[1].version) != given.raw("version")):
            raise ChangedSince
        write(desk.farm.id, desk.person.id, [draft_of(body)], now())
    return True


def draft_of(body: Land) -> Draft:
    """A field's entry is filed under it; what is no field stands by itself."""
    return Draft(body, field=body.subject if body.what == "field" else None)


def _facts(desk: Desk, given: Given, what: str, row: Drawn | None) -> dict[str, Any]:
    fields = land.fields(desk.farm.id)
    sheets = land.sheets_in_force(desk.farm.id)
    asked = {around: widest_setback_ft(sheets, feature) for around, feature in FEATURE_OF.items()}
    drainage = list(ground_form.DRAINAGE)
    stands = ground_form.shown(row, desk.language)
    others = [one for one in fields if row is None or one.id != row.id]
    return {
        "what": what,
        "row": row,
        "given": given,
        "stands": stands,
        "fields": fields,
        "others": others,
        "arounds": ground_form.AROUND,
        "drawns": ground_form.DRAWN_AS,
        "drainages": drainage
        if stands.get("drainage") in (None, *drainage)
        else [stands["drainage"], *drainage],
        "asked": [(around, feet) for around, feet in asked.items() if feet],
        "versions": list(reversed(land.versions(desk.farm.id, row.id))) if row else [],
        "map": land_map(desk, plain_lines(fields), row.id if row else None, editing=row.id if row else None),
        "drawn": given.raw("drawn") or stands["drawn"],
    }


@page(people.DESK_ROLES, methods=("POST",))
def tiles(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Where the map's background comes from."""
    given = Given(request.POST)
    address = given.text("address", needed=False, most=MOST_ADDRESS)
    credit = given.text("credit", needed=False)
    if address and not _is_tiles(address):
        given.fault("address", "tiles")
    if given:
        writes.set_tiles(desk.farm.id, address, credit)
        messages.info(request, say(desk.language, "land.tiles.saved" if address else "land.tiles.none_now"))
    else:
        messages.error(request, say(desk.language, "pages.wrong.tiles"))
    return HttpResponseRedirect(reverse("ground", args=[desk.farm.id]))


def _is_tiles(address: str) -> bool:
    try:
        parts = urlsplit(address)
    except ValueError:
        return False
    places = all(place in address for place in ("{z}", "{x}", "{y}"))
    return parts.scheme in ("http", "https") and bool(parts.netloc) and places
