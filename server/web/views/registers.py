"""The registers: the list, one on screen, the same as a file."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse

from server.registers import reads
from server.registers.sheet_csv import csv_lines
from server.web.desk import Desk, page, shown, told
from shared.status.registers import REGISTERS, Register, written_row


@page()
def registers(request: HttpRequest, desk: Desk) -> HttpResponse:
    listed = [(one.name, one.title(desk.language)) for one in REGISTERS.values()]
    return shown(request, desk, "registers", listed=listed)


@page()
def register(request: HttpRequest, desk: Desk, name: str) -> HttpResponse:
    one = reads.register_named(name)
    span = _span(request, desk)
    if one is None or span is None:
        return told(request, "no_such_register" if one is None else "no_such_day", 404)
    names = reads.names(desk.farm)
    rows = reads.rows(desk.farm, one, *span)
    printed = [_printed(one, row, desk.language, names) for row in rows]
    return shown(
        request,
        desk,
        "register",
        register=one,
        title=one.title(desk.language),
        titles=one.column_titles(desk.language),
        rows=printed,
        first=span[0],
        last=span[1],
        years=reads.years(desk.farm),
    )


@page()
def register_csv(request: HttpRequest, desk: Desk, name: str) -> HttpResponse | StreamingHttpResponse:
    one = reads.register_named(name)
    span = _span(request, desk)
    if one is None or span is None:
        return told(request, "no_such_register" if one is None else "no_such_day", 404)
    lines = csv_lines(one, reads.rows(desk.farm, one, *span), desk.language, reads.names(desk.farm))
    answer = StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{one.name}-{span[0]}-{span[1]}.csv"'
    return answer


def _printed(one: Register, row: object, language: str, names: dict) -> dict[str, object]:  # type: ignore[type-arg]
    """A row with, above it and ruled through, what a correction replaced."""
    was = getattr(row, "was", None)
    return {
        "cells": written_row(one, row, language, names),
        "was": written_row(one, was, language, names) if was is not None else None,
        "struck": getattr(row, "struck", False),
        "entry": getattr(row, "entry", None),
    }


def _span(request: HttpRequest, desk: Desk) -> tuple[date, date] | None:
    """The days asked for; a whole year where only that is named; this year where nothing is."""
    try:
        year = int(request.GET.get("year") or desk.today.year)
        first = date.fromisoformat(request.GET["first"]) if request.GET.get("first") else date(year, 1, 1)
        last = date.fromisoformat(request.GET["last"]) if request.GET.get("last") else date(year, 12, 31)
    except ValueError:
        return None
    return (first, last) if first <= last else None
