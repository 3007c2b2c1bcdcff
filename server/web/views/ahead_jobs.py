"""Ahead: the next jobs for two weeks in an order that a crew can drive, and why not what was left out."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest, HttpResponse

from server.ahead.day import days_of
from server.land import reads as land
from server.web.desk import Desk, page, shown

DAYS = 14


@page()
def ahead(request: HttpRequest, desk: Desk) -> HttpResponse:
    days = days_of(desk.farm.id, desk.today, DAYS)
    return shown(
        request,
        desk,
        "ahead",
        tomorrow=days[0],
        later=[one for one in days[1:] if one.jobs or one.desk],
        places=_names(desk),
    )


def _names(desk: Desk) -> dict[UUID, str]:
    """What a job's place is called: its field, or the pile or part that it is about."""
    farm = desk.farm.id
    return {one.id: one.name for one in (*land.fields(farm), *land.parts(farm), *land.piles(farm))}
