"""Forecasts: when each smother crop stands at the mow height, how sure that is, and what is lacking for it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from server.ahead.foreseeing import LOOKED_AT_DAYS, foreseen
from server.ahead.trends import LEAST_ROUNDS, rests
from server.web.desk import Desk, page, shown
from shared.reckoning.mowing import MOW_AT_IN


@page()
def forecasts(request: HttpRequest, desk: Desk) -> HttpResponse:
    found = foreseen(desk.farm.id, desk.today)
    return shown(
        request,
        desk,
        "forecasts",
        covers=found,
        at=MOW_AT_IN.value,
        most=LOOKED_AT_DAYS,
        rests=rests(desk.farm.id, desk.today),
        least=LEAST_ROUNDS,
    )
