"""The home page: each field a row with its next job and its ribbon over ten years."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from server.web.desk import Desk, page, shown
from server.web.lie import lie_of
from shared.words.leg import LEGS


@page()
def lie_of_the_land(request: HttpRequest, desk: Desk) -> HttpResponse:
    return shown(request, desk, "lie_of_the_land", lie=lie_of(desk), legs=LEGS)
