"""The home page: each field a row with its next job and its ribbon over ten years, or the same as a map."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from server.web.desk import Desk, page, shown
from server.web.lie import lie_of
from server.web.map_data import land_map
from shared.words.leg import LEGS


@page()
def lie_of_the_land(request: HttpRequest, desk: Desk) -> HttpResponse:
    lie = lie_of(desk)
    as_map = request.GET.get("as") == "map"
    return shown(
        request,
        desk,
        "lie_of_the_land",
        lie=lie,
        legs=LEGS,
        map=land_map(desk, lie.lines) if as_map else None,
        undrawn=[line.field for line in lie.lines if not line.field.outline],
    )
