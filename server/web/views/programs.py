"""Programs of the farm's own that read by a token: made, shown once, stopped."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.people import reads as people
from server.people.clock import now
from server.registers import programs as tokens
from server.web.desk import Desk, page, shown, told
from server.web.given import Given
from shared.languages import say


@page(people.DESK_ROLES, methods=("GET", "HEAD", "POST"))
def programs(request: HttpRequest, desk: Desk) -> HttpResponse:
    given, token = Given(request.POST), ""
    if request.method == "POST":
        label = given.text("label")
        if given:
            token = tokens.make(desk.farm, desk.person.id, label, now())
            given = Given(request.GET)
    address = request.build_absolute_uri("/api/v1/registers/leaf_intake/")
    facts = {"tokens": tokens.of_farm(desk.farm.id), "token": token, "address": address, "given": given}
    answer = shown(request, desk, "programs", status=200 if given else 400, **facts)
    answer["Cache-Control"] = "no-store"
    return answer


@page(people.DESK_ROLES, methods=("POST",))
def stop_program(request: HttpRequest, desk: Desk, link: int) -> HttpResponse:
    if not tokens.stop(desk.farm.id, link, now()):
        return told(request, "link_over", 404)
    messages.info(request, say(desk.language, "programs.stopped_now"))
    return HttpResponseRedirect(reverse("programs", args=[desk.farm.id]))
