"""Lows, highs and rain: the last days, one typed, a file in the GHCN-Daily form."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from server.people.clock import now
from server.registers import weather as kept
from server.weather.ghcn import MOST_BYTES, BadWeatherFile, days
from server.web.desk import Desk, page, shown
from server.web.given import Given
from shared.languages import say
from shared.words.bodies.told import Weather

SHOWN = timedelta(days=60)


@page(methods=("GET", "HEAD", "POST"))
def weather(request: HttpRequest, desk: Desk) -> HttpResponse:
    given, problem = Given(request.POST), ""
    if request.method == "POST":
        if not desk.may_write:
            return shown(request, desk, "weather", status=403, **_facts(desk, given, ""))
        try:
            several = _file(request) if "file" in request.FILES else _typed(desk, given)
            if given and any(one.date > desk.today for one in several):
                given.fault("date", "not_yet")
            if given:
                fresh, there = kept.keep(
                    desk.farm, desk.person.id, several, now(), paper="file" not in request.FILES
                )
                messages.info(request, say(desk.language, "weather.done", count=fresh, there=there))
                return HttpResponseRedirect(request.path)
        except BadWeatherFile as error:
            problem = say(desk.language, f"refusals.{error.code}.detail", **error.facts())
    status = 400 if problem or not given else 200
    return shown(request, desk, "weather", status=status, **_facts(desk, given, problem))


def _facts(desk: Desk, given: Given, problem: str) -> dict[str, Any]:
    known = kept.told_by(desk.farm, desk.today - SHOWN)
    listed = sorted(known.values(), key=lambda one: (one[0].date, one[0].station or ""), reverse=True)
    return {"given": given, "problem": problem, "days": listed}


def _file(request: HttpRequest) -> list[Weather]:
    file = request.FILES["file"]
    if (file.size or 0) > MOST_BYTES:  # type: ignore[union-attr]
        raise BadWeatherFile(1, "")
    try:
        return days(file.read().decode("utf-8-sig"))  # type: ignore[union-attr]
    except UnicodeDecodeError:
        raise BadWeatherFile(1, "") from None


def _typed(desk: Desk, given: Given) -> list[Weather]:
    on = given.day("date")
    low, high = given.decimal("low_f", "-60", "130", False), given.decimal("high_f", "-60", "130", False)
    rain = given.decimal("rain_in", "0", "30", False)
    if low is None and high is None and rain is None:
        given.fault("low_f", "missing")
    if low is not None and high is not None and low > high:
        given.fault("high_f", "low_over_high")
    return [Weather(on, low, high, rain, None)] if given and on is not None else []
