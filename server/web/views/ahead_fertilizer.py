"""Fertilizer and lime: the need of each field's next crop, year by year, and the tables that the grower types."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.ahead import fertilizer_rows as kept
from server.ahead.fertilizer import FarmFertilizer, farm_fertilizer, wondered
from server.people.clock import now
from server.web.desk import Desk, page, shown, told
from server.web.fertilizer import card, cards, lime_lines, year_lines
from server.web.given import Given
from shared.ahead.fertilizer_sheet import COLUMNS, Fault, row_of, rows_of
from shared.ahead.fertilizer_tables import plain
from shared.languages import say

BOTH = ("GET", "HEAD", "POST")
SHOWN_FAULTS = 40


@page()
def fertilizer(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The page, and for a field and crop that somebody wonders about a line of its own."""
    found = farm_fertilizer(desk.farm.id, desk.today)
    given = Given(request.GET)
    wonder = _wonder(desk, given) if request.GET.get("field") or request.GET.get("crop") else None
    return shown(
        request,
        desk,
        "fertilizer",
        status=200 if given else 400,
        given=given,
        found=found,
        wonder=wonder,
        cards=cards(desk.language, found, found.coming),
        years=year_lines(desk.language, found),
        lime=lime_lines(desk.language, found),
        tables=_counts(found),
        fields=found.fields,
    )


def _counts(found: FarmFertilizer) -> list[tuple[str, int]]:
    return [(one, len(getattr(found.tables, one))) for one in kept.TABLES]


def _wonder(desk: Desk, given: Given) -> Any:
    tables = kept.tables_of(desk.farm.id)
    crop = given.text("crop", most=60)
    if crop and not tables.knows(crop):
        given.fault("crop", "choice")
    found = wondered(desk.farm.id, given.raw("field"), plain(crop), desk.today) if given else None
    if given and found is None:
        given.fault("field", "choice")
    return card(desk.language, found, tables) if found is not None else None


@page(methods=BOTH)
def table(request: HttpRequest, desk: Desk, table: str) -> HttpResponse:
    """One table: its rows, a form for one more or for a correction, a place to paste many."""
    name = next((one for one in kept.TABLES if one == table), None)
    if name is None:
        return told(request, "no_such_page", 404)
    if request.method != "POST":
        return _table_page(request, desk, name)
    if not desk.may_write:
        return told(request, "role_too_small", 403)
    act = {"paste": _pasted, "end": _ended}.get(request.POST.get("do", ""), _typed)
    return act(request, desk, name)


def _table_page(
    request: HttpRequest, desk: Desk, name: Any, faults: tuple[Fault, ...] = (), text: str = ""
) -> HttpResponse:
    wanted = request.POST.get("row") or request.GET.get("row", "")
    row = kept.row_of(desk.farm.id, name, _id(wanted)) if wanted else None
    form = request.POST if request.method == "POST" and not text else None
    values = {one.name: _value(form, row, one.name, one.default) for one in COLUMNS[name]}
    rows = kept.listed(desk.farm.id, name)
    titles = [one.name for one in COLUMNS[name]]
    return shown(
        request,
        desk,
        "fertilizer_table",
        status=400 if faults else 200,
        table=name,
        columns=COLUMNS[name],
        cells=[(one, values[one.name], _at(faults, one.name)) for one in COLUMNS[name]],
        rows=[
            (one, [(title, one.values.get(title, "")) for title in titles])
            for one in rows
            if not one.ended_at
        ],
        ended=[
            (one, [(title, one.values.get(title, "")) for title in titles]) for one in rows if one.ended_at
        ],
        row=row,
        faults=[one for one in faults if one.line][:SHOWN_FAULTS],
        more=max(0, sum(one.line > 0 for one in faults) - SHOWN_FAULTS),
        text=text,
    )


def _id(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        return UUID(int=0)


def _value(form: Any, row: Any, name: str, default: str) -> str:
    if form is not None:
        return str(form.get(name, ""))[:200]
    return str(row.values.get(name, "")) if row is not None else default


def _at(faults: tuple[Fault, ...], name: str) -> Fault | None:
    return next((one for one in faults if one.column == name and not one.line), None)


def _typed(request: HttpRequest, desk: Desk, name: Any) -> HttpResponse:
    """One row, new or in place of another."""
    values, faults = row_of(name, {one.name: request.POST.get(one.name, "") for one in COLUMNS[name]})
    if not faults and kept.full(desk.farm.id, name, 1):
        faults = (Fault(1, "", "full", facts=(("most", str(kept.MOST_KEPT)),)),)
    if faults:
        return _table_page(request, desk, name, faults)
    farm, person = desk.farm.id, desk.person.id
    if request.POST.get("row"):
        why = request.POST.get("why", "").strip()[:200]
        stood = kept.correct(farm, name, _id(request.POST["row"]), values, person, why, now())
        key = "fertilizer.corrected" if stood else "fertilizer.gone"
    else:
        fresh, _ = kept.add(farm, name, [values], person, now())
        key = "fertilizer.added" if fresh else "fertilizer.there"
    messages.info(request, say(desk.language, key))
    return HttpResponseRedirect(reverse("fertilizer_table", args=[farm, name]))


def _pasted(request: HttpRequest, desk: Desk, name: Any) -> HttpResponse:
    """Many rows, all of them or none."""
    text = request.POST.get("text", "")
    file = request.FILES.get("file")
    if file is not None:
        text = file.read(300_000).decode("utf-8", "replace")
    rows, faults = rows_of(name, text)
    if not faults and kept.full(desk.farm.id, name, len(rows)):
        faults = [Fault(1, "", "full", facts=(("most", str(kept.MOST_KEPT)),))]
    if faults:
        return _table_page(request, desk, name, tuple(faults), text or " ")
    fresh, there = kept.add(desk.farm.id, name, rows, desk.person.id, now())
    messages.info(request, say(desk.language, "fertilizer.pasted", count=fresh, there=there))
    return HttpResponseRedirect(reverse("fertilizer_table", args=[desk.farm.id, name]))


def _ended(request: HttpRequest, desk: Desk, name: Any) -> HttpResponse:
    why = request.POST.get("why", "").strip()[:200]
    stood = kept.end(desk.farm.id, name, _id(request.POST.get("row", "")), desk.person.id, why, now())
    messages.info(request, say(desk.language, "fertilizer.ended_now" if stood else "fertilizer.gone"))
    return HttpResponseRedirect(reverse("fertilizer_table", args=[desk.farm.id, name]))
