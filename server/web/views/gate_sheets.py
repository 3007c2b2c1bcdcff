"""Gate sheets: one day's loads at the gate, or a season's, by town."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.http import HttpRequest, HttpResponse

from server.land import reads as land
from server.registers.reads import names
from server.web.desk import Desk, page, shown, told
from server.web.factors import factors
from server.web.gate import gate_of, last_day_of_loads, season_of, seasons, span_of
from server.web.loads import told_loads
from server.web.piles import pile_lines
from server.web.town_season import found_later
from shared.reckoning.loads import COMPUTATIONS

TONS_SOURCE = next(one.source for one in COMPUTATIONS if one.name == "load_tons")


@page()
def gate_sheets(request: HttpRequest, desk: Desk) -> HttpResponse:
    """A day (the last with loads, where none is asked for) or a whole season, of every town or of one."""
    try:
        season = int(request.GET["season"]) if request.GET.get("season") else None
        day = date.fromisoformat(request.GET["day"]) if request.GET.get("day") else None
        town = UUID(request.GET["town"]) if request.GET.get("town") else None
        span = span_of(season) if season is not None else None
    except ValueError:
        return told(request, "no_such_day", 404)
    last_loads = last_day_of_loads(desk, desk.today)
    on = day or last_loads or desk.today
    first, last = span or (on, on)
    gate = gate_of(desk, first, last, town)
    called = names(desk.farm)
    towns = land.towns(desk.farm.id, retired=True)
    return shown(
        request,
        desk,
        "gate_sheets",
        gate=gate,
        day=None if span else on,
        season=season,
        this_season=season_of(on if span is None else first),
        seasons=seasons(desk),
        town=next((one for one in towns if one.id == town), None),
        towns=[one for one in towns if not one.retired or one.id == town],
        loads=told_loads(desk, gate.loads, called),
        turned_back=told_loads(desk, gate.turned_back, called),
        places=[(called.get(one.place, ""), one) for one in gate.sheet.places],
        tons_source=TONS_SOURCE,
        found=found_later(desk, gate.loads, called, gate.first, gate.last),
        factors=[(called.get(one.town, ""), one) for one in factors(desk, gate.measured)],
        factor_field=called.get(gate.factor.field, "") if gate.factor else "",
        factor_town=called.get(gate.factor.town, "") if gate.factor and gate.factor.town else "",
    )


@page()
def piles(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Every pile with its balance, its oldest leaves, its towns and its heat."""
    return shown(request, desk, "piles", lines=pile_lines(desk))
