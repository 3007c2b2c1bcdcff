"""The farm: its dates, its rule sheets, and the way to its people, phones, towns and land."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from server.intake.desk import Draft, write_one
from server.land import reads as land
from server.people import reads as people
from server.people.clock import now
from server.people.models import Farm
from server.web.desk import Desk, page, shown
from server.web.given import Given
from shared import rules
from shared.languages import say
from shared.rules.sheet import Sheet
from shared.words.bodies.desk import SheetChoice

BOTH = ("GET", "HEAD", "POST")
UNITS = ("us", "metric")


@page()
def the_farm(request: HttpRequest, desk: Desk) -> HttpResponse:
    fields = land.fields(desk.farm.id)
    return shown(
        request,
        desk,
        "the_farm",
        fields=fields,
        acres=sum(one.area_ac or 0.0 for one in fields),
        people_count=len(people.people(desk.farm.id)),
        phones_count=sum(one.stopped_at is None for one in people.phones(desk.farm.id)),
        towns=land.towns(desk.farm.id),
        trucks_count=len(land.vehicles(desk.farm.id)),
        sheets=[one for one in land.sheets(desk.farm.id) if one.in_force],
        is_owner=desk.person.role == "owner",
    )


@page(people.DESK_ROLES, methods=BOTH)
def settings(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The days that the farm sets for itself, and the units it thinks in."""
    given = Given(request.POST)
    if request.method == "POST":
        columns = {
            "next_season_on": given.day("next_season_on", needed=False),
            "leaves_from": given.day("leaves_from", needed=False),
            "units": given.choice("units", UNITS),
        }
        if given:
            # The dues follow from these days: they are made anew by whoever asks for them first.
            Farm.objects.filter(id=desk.farm.id).update(**columns, dues_on=None)
            messages.info(request, say(desk.language, "pages.settings.saved"))
            return HttpResponseRedirect(request.path)
    return shown(request, desk, "settings", status=200 if given else 400, given=given, units=UNITS)


@page(methods=BOTH)
def sheets(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The rule sheets that there are, what each sets, and which are in force; a change is an entry of the book."""
    given = Given(request.POST)
    chosen = {one.sheet: one for one in land.sheets(desk.farm.id)}
    if request.method == "POST":
        if not desk.may_write:
            return shown(request, desk, "sheets", status=403, **_sheets(chosen, given))
        name = given.choice("sheet", {*rules.sheet_names(), *chosen})
        force, why = given.choice("in_force", ("yes", "no")), given.text("why", most=500)
        from_day = given.day("starts_on")
        if given and from_day is not None:
            body = SheetChoice(name, force == "yes", from_day, why)
            write_one(desk.farm.id, desk.person.id, Draft(body), now())
            messages.info(request, say(desk.language, "pages.sheets.saved"))
            return HttpResponseRedirect(request.path)
    return shown(request, desk, "sheets", status=200 if given else 400, **_sheets(chosen, given))


def _sheets(chosen: dict[str, object], given: Given) -> dict[str, object]:
    known: list[tuple[Sheet, bool]] = [
        (rules.sheet(name), bool(name in chosen and getattr(chosen[name], "in_force", False)))
        for name in rules.sheet_names()
    ]
    known.sort(key=lambda one: (not one[1], one[0].title))
    return {"known": known, "given": given, "which": given.raw("sheet")}
