"""What laboratories answered: the list, one typed, a laboratory's file read by a mapping remembered for it."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.land import reads as land
from server.people import reads as people
from server.people.clock import now
from server.registers import laboratory
from server.registers.laboratory import Answer, Column, NotACsv, Sheet
from server.web.desk import Desk, page, shown
from server.web.given import Given
from shared.languages import say

BOTH = ("GET", "HEAD", "POST")
TYPED_ROWS = 8


@page(methods=BOTH)
def samples(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Every answer with its laboratory, method and depth; samples that wait; a form for one more."""
    given = Given(request.POST)
    if request.method == "POST":
        if not desk.may_write:
            return shown(request, desk, "samples", status=403, **_listed(desk, given))
        answer = _typed(desk, given)
        if answer is not None:
            fresh, _ = laboratory.keep(desk.farm, desk.person.id, [answer], now())
            messages.info(
                request, say(desk.language, "laboratory.done" if fresh else "laboratory.there_already")
            )
            return HttpResponseRedirect(request.path)
    return shown(request, desk, "samples", status=200 if given else 400, **_listed(desk, given))


def _listed(desk: Desk, given: Given) -> dict[str, Any]:
    names = {one.id: one.name for one in land.fields(desk.farm.id, retired=True)}
    towns = {one.id: one.name for one in land.towns(desk.farm.id, retired=True)}
    found = laboratory.known(desk.farm)
    return {
        "answers": [(one, names.get(one.field, ""), towns.get(one.town, "")) for one in reversed(found)],
        "waiting": [
            (one, names.get(one.field, ""), one.day(desk.zone)) for one in laboratory.waiting(desk.farm)
        ],
        "fields": [(str(id), name) for id, name in _fields(desk).items()],
        "towns": [(str(one.id), one.name) for one in land.towns(desk.farm.id)],
        "kinds": laboratory.KINDS,
        "units": laboratory.UNITS,
        "labs": sorted({one.lab for one in found}),
        "methods": sorted({one.method for one in found}),
        "rows": _rows(given),
        "given": given,
    }


def _fields(desk: Desk) -> dict[UUID, str]:
    return {one.id: one.name for one in land.fields(desk.farm.id)}


def _rows(given: Given) -> list[tuple[str, str, str]]:
    """The typed rows as they were sent, or empty ones."""
    columns = [given.form.getlist(name) for name in ("name", "number", "unit")]
    rows = list(zip(*columns, strict=False))
    return rows or [("", "", "")] * TYPED_ROWS


def _typed(desk: Desk, given: Given) -> Answer | None:
    of, lab, method = given.choice("of", laboratory.KINDS), given.text("lab"), given.text("method")
    towns = {one.id for one in land.towns(desk.farm.id)}
    town = given.id("town", towns, needed=False)
    field = given.id("field", _fields(desk), needed=not (of == "leaves" and town))
    on = given.day("on")
    if on is not None and on > desk.today:
        given.fault("on", "not_yet")
    top, bottom = (
        given.decimal("top_in", "0", "48", needed=False),
        given.decimal("bottom_in", "0", "48", False),
    )
    if of in ("soil", "nitrate") and bottom is None:
        given.fault("bottom_in", "missing")
    values = tuple(_values(given))
    if not values:
        given.fault("values", "no_figures")
    if not given or on is None:
        return None
    bag = given.text("bag", needed=False) or None
    return Answer(field, on, of, lab, method, values, bag, top, bottom, None, town)


def _values(given: Given) -> list[tuple[str, Decimal, str]]:
    out = []
    for name, text, unit in _rows(given):
        if not (name.strip() or text.strip()):
            continue
        number = laboratory.figure_of(text.strip(), unit)
        if number is None or not name.strip() or unit not in laboratory.UNITS:
            given.fault("values", "figure_and_unit", which=name.strip()[:40] or text[:40])
        else:
            out.append((name.strip()[:60], number, unit))
    return out


@page(people.DESK_ROLES, methods=BOTH)
def results_csv(request: HttpRequest, desk: Desk) -> HttpResponse:
    """A laboratory's file: read as it was before, or by what is said now of each column. All of it is written, or
    what is wrong is told line by line and nothing is."""
    given = Given(request.POST)
    facts: dict[str, Any] = {"given": given, "kinds": laboratory.KINDS, "units": laboratory.UNITS}
    if request.method != "POST":
        return shown(request, desk, "results_csv", **facts)
    of, lab, method = (
        given.choice("of", laboratory.KINDS),
        given.text("lab"),
        given.text("method", needed=False),
    )
    try:
        text = _text(request)
        sheet = laboratory.sheet_of(text)
    except (NotACsv, UnicodeDecodeError):
        given.fault("file", "csv")
    if not given:
        return shown(request, desk, "results_csv", status=400, **facts)
    before = laboratory.remembered(desk.farm.id, lab, of, sheet.titles)
    columns = _columns(sheet, given)
    if "role" in given.form and _usable(columns, method, given):
        laboratory.remember(desk.farm.id, lab, of, method, columns)
    elif "role" not in given.form and before is not None:
        columns, method = before
    else:
        facts |= {"text": text, "columns": _asked(sheet, columns), "roles": laboratory.ROLES}
        return shown(request, desk, "results_csv", status=200 if given else 400, **facts)
    names = {name.lower(): id for id, name in _fields(desk).items()}
    found, faults = laboratory.answers(sheet, columns, lab, method, of, names)
    if faults:
        facts |= {
            "text": text,
            "faults": faults,
            "columns": _asked(sheet, columns),
            "roles": laboratory.ROLES,
        }
        return shown(request, desk, "results_csv", status=400, **facts | {"method": method})
    fresh, there = laboratory.keep(desk.farm, desk.person.id, found, now())
    messages.info(request, say(desk.language, "laboratory.read", count=fresh, there=there))
    return HttpResponseRedirect(reverse("samples", args=[desk.farm.id]))


def _text(request: HttpRequest) -> str:
    """The file, or its text as the form has kept it."""
    file = request.FILES.get("file")
    if file is None:
        return request.POST.get("text", "")
    if (file.size or 0) > laboratory.MOST_CSV:
        raise NotACsv
    return str(file.read().decode("utf-8-sig"))


def _columns(sheet: Sheet, given: Given) -> Mapping[str, Column]:
    """What was said of each column; where nothing was, what its title may mean."""
    roles, names, units = (given.form.getlist(key) for key in ("role", "name", "unit"))
    if len(roles) == len(names) == len(units) == len(sheet.titles):
        several = zip(sheet.titles, roles, names, units, strict=True)
        return {title: Column(role, name.strip()[:60], unit) for title, role, name, unit in several}
    return {title: _guess(title) for title in sheet.titles}


def _guess(title: str) -> Column:
    word = title.lower().strip()
    if word in ("field", "campo"):
        return Column("field")
    if word in ("date", "sampled", "fecha"):
        return Column("on")
    if word in ("bag", "sample", "sample id", "bolsa"):
        return Column("bag")
    unit = next((one for one in laboratory.UNITS if f"({one.lower()})" in word or word == one.lower()), "")
    return Column("figure" if unit else "left_out", title.split("(")[0].strip(), unit)


def _usable(columns: Mapping[str, Column], method: str, given: Given) -> bool:
    roles = [one.role for one in columns.values()]
    if roles.count("field") != 1 or roles.count("on") != 1 or "figure" not in roles:
        given.fault("columns", "columns")
    if any(roles.count(one) > 1 for one in ("bag", "top_in", "bottom_in")) or set(roles) - set(
        laboratory.ROLES
    ):
        given.fault("columns", "columns")
    if any(one.role == "figure" and one.unit not in laboratory.UNITS for one in columns.values()):
        given.fault("columns", "units")
    if not method:
        given.fault("method", "missing")
    return bool(given)


def _asked(sheet: Sheet, columns: Mapping[str, Column]) -> list[tuple[str, Column, str]]:
    """Each column with what is said of it and the first that stands in it."""
    firsts = [*sheet.rows[0], *[""] * len(sheet.titles)]
    return [(title, columns[title], firsts[place]) for place, title in enumerate(sheet.titles)]
