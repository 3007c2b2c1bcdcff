"""Fields brought in from a file: a new one for each new name, a new version where the name is known."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.intake.desk import Draft, write
from server.land import reads as land
from server.land.models import Field
from server.people import reads as people
from server.people.clock import now
from server.people.ids import new_id
from server.web.desk import Desk, page, shown
from server.web.given import Given
from server.web.ground_form import facts_of
from server.web.outlines import MOST_BYTES, NotUsable, Outlined, outlines
from shared.languages import say
from shared.words.bodies.desk import Land

MOST_WHY = 500


@page(people.DESK_ROLES, methods=("GET", "HEAD", "POST"))
def bring_in(request: HttpRequest, desk: Desk) -> HttpResponse:
    given, problem = Given(request.POST), ""
    if request.method == "POST":
        why, file = given.text("why", most=MOST_WHY), request.FILES.get("file")
        if file is None:
            given.fault("file", "missing")
        named_by = given.text("named_by", needed=False, most=100)
        if given and file is not None:
            try:
                near = (
                    ()
                    if given.ticked("far")
                    else [one.outline for one in land.fields(desk.farm.id) if one.outline]
                )
                found = outlines(file.read(MOST_BYTES + 1), named_by, near)
                write(desk.farm.id, desk.person.id, _drafts(desk, found, why), now())
                messages.info(request, say(desk.language, "pages.import.done", count=len(found)))
                return HttpResponseRedirect(reverse("the_farm", args=[desk.farm.id]))
            except NotUsable as error:
                problem = say(desk.language, f"pages.import.{error.key}", **error.told)
    status = 400 if problem or not given else 200
    return shown(request, desk, "bring_in", status=status, given=given, problem=problem)


def _drafts(desk: Desk, found: list[Outlined], why: str) -> list[Draft]:
    """What is not in the file stays as it was: a known field keeps its facts and takes the new outline."""
    known = {one.name: one for one in Field.objects.filter(farm_id=desk.farm.id, retired=False)}
    drafts = []
    for one in found:
        field = known.get(one.name)
        body = Land(
            what="field",
            subject=field.id if field else new_id(now()),
            version=field.version + 1 if field else 1,
            name=one.name,
            why=why,
            pieces=one.pieces,
            **(facts_of(field) if field else {}),
        )
        drafts.append(Draft(body, field=body.subject))
    return drafts
