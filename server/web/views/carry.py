"""A carry file taken in on a page: for a phone that can't reach the server (contract, W19)."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from server.intake.carried import CarryNeedsLeave, Taken, take
from server.people import reads as people
from server.people.clock import now
from server.people.models import Phone
from server.web.desk import Desk, page, shown
from server.web.given import Given
from shared.errors import BadCarry, Fork
from shared.languages import say

OUTCOMES = ("kept", "held", "already", "refused")
"""In the order in which they are told."""


@page(people.DESK_ROLES, methods=("GET", "HEAD", "POST"))
def carry(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The file is given, and what became of it is told; given again, it is the same book."""
    given, problem, needs_leave = Given(request.POST), "", False
    taken: Taken | None = None
    is_owner = desk.person.role == "owner"
    if request.method == "POST":
        file = request.FILES.get("file")
        if file is None:
            given.fault("file", "missing")
        else:
            try:
                taken = take(desk.farm.id, file, now(), leave=is_owner and request.POST.get("leave") == "yes")
            except CarryNeedsLeave:
                needs_leave = True
                problem = say(desk.language, f"carry.{'allow' if is_owner else 'ask_owner'}")
            except (BadCarry, Fork) as refused:
                problem = say(desk.language, f"refusals.{refused.code}.detail", **refused.facts())
    return shown(
        request,
        desk,
        "carry",
        status=400 if problem or not given else 200,
        given=given,
        problem=problem,
        may_allow=needs_leave and is_owner,
        taken=taken,
        phone=Phone.objects.filter(farm_id=desk.farm.id, id=taken.phone).first() if taken else None,
        told=[(one, taken.outcomes.get(one, 0)) for one in OUTCOMES if taken.outcomes.get(one)]
        if taken
        else [],
    )
