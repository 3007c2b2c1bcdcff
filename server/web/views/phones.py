"""The phones of the farm: joining slips with their square, who was heard when, stopping one."""

from __future__ import annotations

from datetime import timedelta
from uuid import UUID

import segno
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.safestring import mark_safe

from server.people import reads, slips, tokens
from server.people.clock import now
from server.people.models import Phone
from server.web.desk import Desk, page, shown, told
from shared.languages import say

SQUARE_SCALE = 6
IN_TWO = 5
"""A code is shown in two halves of five: easier to read out."""
UNHEARD_AFTER = timedelta(hours=12)


@page(reads.DESK_ROLES)
def phones(request: HttpRequest, desk: Desk) -> HttpResponse:
    found = reads.phones(desk.farm.id)
    return shown(
        request,
        desk,
        "phones",
        phones=sorted(found, key=lambda one: (one.stopped_at is not None, one.label)),
        slips=reads.open_slips(desk.farm.id, desk.now),
        unheard={one.id for one in reads.unheard(desk.farm.id, desk.now - UNHEARD_AFTER)},
    )


@page(reads.DESK_ROLES, methods=("POST",))
def joining_slip(request: HttpRequest, desk: Desk) -> HttpResponse:
    """A new slip: its code and its square, shown on this page and nowhere again."""
    at = now()
    code = slips.make_slip(desk.farm.id, at)
    address = request.build_absolute_uri("/")
    link = slips.link(address, code, settings.PLACE.pin())
    square = segno.make(slips.square_link(link), error="m", micro=False)
    drawn = square.svg_inline(scale=SQUARE_SCALE, border=4, dark="#000", light="#fff", omitsize=True)
    answer = shown(
        request,
        desk,
        "slip",
        code=f"{code[:IN_TWO]} {code[IN_TWO:]}",
        address=address,
        link=link,
        square=mark_safe(drawn),
        until=(at + slips.SLIP_LASTS),
    )
    answer["Cache-Control"] = "no-store"
    return answer


@page(reads.DESK_ROLES, methods=("POST",))
def stop_phone(request: HttpRequest, desk: Desk, phone: UUID) -> HttpResponse:
    """Stop a phone, or let it go on; what it handed in stays, what waits on it stays on it."""
    one = Phone.objects.filter(farm_id=desk.farm.id, id=phone, desk=False).first()
    if one is None:
        return told(request, "no_such_phone", 404)
    if request.POST.get("go_on") == "yes":
        tokens.go_on(one)
        messages.info(request, say(desk.language, "pages.phones.goes_on", phone=one.label))
    else:
        tokens.stop(one, now())
        messages.info(request, say(desk.language, "pages.phones.stopped_now", phone=one.label))
    return HttpResponseRedirect(reverse("phones", args=[desk.farm.id]))
