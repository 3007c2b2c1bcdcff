"""A field cut into two along a line, or joined with others; both with a reason, and nothing of the old is lost."""

from __future__ import annotations

from collections.abc import Callable
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.intake.desk import Draft, write
from server.land.models import Field
from server.people import reads as people
from server.people.clock import now
from server.people.models import Farm
from server.web.corners import NotUsable, typed_pieces
from server.web.desk import Desk, page, told
from server.web.given import Given
from server.web.ground_form import MOST_WHY
from server.web.hands import ChangedSince
from server.web.recut import cut_drafts, join_drafts
from shared.languages import say

Made = Callable[[list[Field]], list[Draft]]


@page(people.DESK_ROLES, methods=("POST",))
def cut_field(request: HttpRequest, desk: Desk, ground: UUID) -> HttpResponse:
    given = Given(request.POST)
    names = (given.text("left"), given.text("right"))
    why = given.text("why", most=MOST_WHY)
    if names[0] == names[1]:
        given.fault("right", "same_name")

    def made(fields: list[Field]) -> list[Draft]:
        pieces = typed_pieces(given.raw("line"), "line")
        line = [piece[0][0] for piece in pieces] + [pieces[-1][0][-1]] if pieces else []
        if not line:
            raise NotUsable("line_of_one")
        corners = [(float(lat), float(lon)) for lat, lon in line]
        return cut_drafts(desk.farm.id, fields[0], corners, names, why)

    return _recut(desk, request, given, ground, [], made, "land.cut.done")


@page(people.DESK_ROLES, methods=("POST",))
def join_fields(request: HttpRequest, desk: Desk, ground: UUID) -> HttpResponse:
    given = Given(request.POST)
    name, why = given.text("name"), given.text("why", most=MOST_WHY)
    others = request.POST.getlist("others")
    if not others:
        given.fault("others", "missing")
    return _recut(
        desk,
        request,
        given,
        ground,
        others,
        lambda fields: join_drafts(desk.farm.id, fields, name, why),
        "land.join.done",
    )


def _recut(
    desk: Desk, request: HttpRequest, given: Given, ground: UUID, others: list[str], made: Made, done: str
) -> HttpResponse:
    """Write what is made of the field and the others, or say why not; a field drawn anew meanwhile stays as it is."""
    rows = {str(one.id): one for one in Field.objects.filter(farm_id=desk.farm.id, retired=False)}
    wanted = [str(ground), *others]
    if any(one not in rows for one in wanted):
        return told(request, "no_such_ground", 404)
    back = HttpResponseRedirect(reverse("piece", args=[desk.farm.id, ground]))
    try:
        if not given:
            key, facts = next(iter(given.wrong.values()))
            raise _Said(say(desk.language, f"pages.wrong.{key}", **facts))
        with transaction.atomic():
            Farm.objects.select_for_update().only("id").get(id=desk.farm.id)
            fields = [Field.objects.get(id=rows[one].id) for one in wanted]
            if str(fields[0].version) != given.raw("version"):
                raise ChangedSince
            write(desk.farm.id, desk.person.id, made(fields), now())
    except NotUsable as wrong:
        messages.error(request, say(desk.language, f"pages.wrong.outline.{wrong.key}", **wrong.told))
        return back
    except (ChangedSince, _Said) as wrong:
        text = str(wrong) if isinstance(wrong, _Said) else say(desk.language, "refusals.changed_since.detail")
        messages.error(request, text)
        return back
    messages.info(request, say(desk.language, done))
    return HttpResponseRedirect(reverse("ground", args=[desk.farm.id]))


class _Said(Exception):
    """What is wrong, in the words of whoever asked."""
