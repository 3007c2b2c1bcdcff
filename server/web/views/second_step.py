"""The second step at signing in, set up and taken away by whoever it is for."""

from __future__ import annotations

import segno
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.safestring import mark_safe

from server.people import second_step as steps
from server.people.models import Account
from server.web.desk import Desk, page, shown
from shared.languages import say

SQUARE_SCALE = 5


@page(methods=("GET", "HEAD", "POST"))
def second_step(request: HttpRequest, desk: Desk) -> HttpResponse:
    account: Account = request.user  # type: ignore[assignment]
    on, wrong = steps.is_on(account), False
    what, figures = request.POST.get("what", ""), request.POST.get("figures", "")
    if what in ("on", "off"):
        if steps.verified(account, figures, confirmed=what == "off"):
            (steps.turn_on if what == "on" else steps.turn_off)(account)
            messages.info(request, say(desk.language, f"second_step.turned_{what}"))
            return HttpResponseRedirect(request.path)
        wrong = True
    begun = not on and (what in ("start", "on"))
    facts = {"is_on": on, "wrong": wrong, "begun": begun, "under": "the_farm"}
    if begun:
        device = steps.begun(account)
        square = segno.make(device.config_url, error="m", micro=False)
        drawn = square.svg_inline(scale=SQUARE_SCALE, border=4, dark="#000", light="#fff", omitsize=True)
        facts |= {"square": mark_safe(drawn), "key": steps.key_of(device)}
    answer = shown(request, desk, "second_step", status=400 if wrong else 200, **facts)
    answer["Cache-Control"] = "no-store"
    return answer
