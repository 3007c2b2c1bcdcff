"""Forecasts: covers, yards still coming, leaves and their nitrogen, the rest, the soil; what each lacks beside it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from server.ahead.coming import season_ahead
from server.ahead.foreseeing import LOOKED_AT_DAYS, foreseen
from server.ahead.leaf_ahead import leaves_ahead
from server.ahead.soil_lines import FIGURES
from server.ahead.soil_lines import LEAST_READINGS as LEAST_OF_SOIL
from server.ahead.trends import LEAST_ROUNDS, rests
from server.land import reads as land
from server.web.desk import Desk, page, shown
from server.web.room import rooms_of
from server.web.soil_answers import soil_of_fields
from shared.reckoning.mowing import MOW_AT_IN


@page()
def forecasts(request: HttpRequest, desk: Desk) -> HttpResponse:
    rooms = rooms_of(desk)
    room_yd3 = sum(one.left.room_yd3 for one in rooms.fields if one.receives)
    factor = rooms.factor.factor if rooms.factor is not None else None
    return shown(
        request,
        desk,
        "forecasts",
        covers=foreseen(desk.farm.id, desk.today),
        at=MOW_AT_IN.value,
        most=LOOKED_AT_DAYS,
        rests=rests(desk.farm.id, desk.today),
        least=LEAST_ROUNDS,
        season=season_ahead(desk.farm, desk.today, room_yd3),
        room_yd3=room_yd3,
        leaves=leaves_ahead(desk.farm.id, desk.today, factor),
        soils=soil_of_fields(desk, {one.id: one.name for one in land.fields(desk.farm.id)}, FIGURES),
        soil_figures=FIGURES,
        least_of_soil=LEAST_OF_SOIL,
    )
