"""The registers: the list, one on screen, the same as a file."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.urls import reverse

from server.registers import reads
from server.registers.press import PressFailed, pressed
from server.registers.printed import as_html, head_of
from server.registers.sheet_csv import csv_lines
from server.registers.sheet_xlsx import workbook
from server.web.desk import Desk, page, shown, told
from shared.status.registers import REGISTERS, Register, written_row

FILES = {"CSV": "register_csv", "XLSX": "register_xlsx", "PDF": "register_pdf"}
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
WORDY = ("change_why", "reason", "residue_to", "sheets")
STRUCK_STAYS = ("change", "change_why", "initialled_by")
"""What tells of a strike is not ruled through with what it struck."""


@page()
def registers(request: HttpRequest, desk: Desk) -> HttpResponse:
    listed = [(one.name, one.title(desk.language)) for one in REGISTERS.values()]
    return shown(request, desk, "registers", listed=listed)


@page()
def register(request: HttpRequest, desk: Desk, name: str) -> HttpResponse:
    one = reads.register_named(name)
    span = span_asked(request, desk)
    if one is None or span is None:
        return told(request, "no_such_register" if one is None else "no_such_day", 404)
    names = reads.names(desk.farm)
    titles = zip(one.column_titles(desk.language), map(_look, one.columns), strict=True)
    return shown(
        request,
        desk,
        "register",
        register=one,
        title=one.title(desk.language),
        titles=list(titles),
        rows=[_printed(one, row, desk.language, names) for row in reads.rows(desk.farm, one, *span)],
        first=span[0],
        last=span[1],
        years=reads.years(desk.farm),
        files=[(kind, reverse(view, args=[desk.farm.id, name])) for kind, view in FILES.items()],
    )


@page()
def register_csv(request: HttpRequest, desk: Desk, name: str) -> HttpResponse | StreamingHttpResponse:
    one = reads.register_named(name)
    span = span_asked(request, desk)
    if one is None or span is None:
        return told(request, "no_such_register" if one is None else "no_such_day", 404)
    lines = csv_lines(one, reads.rows(desk.farm, one, *span), desk.language, reads.names(desk.farm))
    answer = StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{file_name(one, span)}.csv"'
    return answer


@page()
def register_xlsx(request: HttpRequest, desk: Desk, name: str) -> HttpResponse:
    one, span = reads.register_named(name), span_asked(request, desk)
    if one is None or span is None:
        return told(request, "no_such_register" if one is None else "no_such_day", 404)
    head = head_of(desk.farm, *span, desk.language, desk.now)
    rows, names = reads.rows(desk.farm, one, *span), reads.names(desk.farm)
    return _file(workbook(one, rows, desk.language, names, head), XLSX, f"{file_name(one, span)}.xlsx")


@page()
def register_pdf(request: HttpRequest, desk: Desk, name: str) -> HttpResponse:
    one, span = reads.register_named(name), span_asked(request, desk)
    if one is None or span is None:
        return told(request, "no_such_register" if one is None else "no_such_day", 404)
    head = head_of(desk.farm, *span, desk.language, desk.now)
    rows, names = reads.rows(desk.farm, one, *span), reads.names(desk.farm)
    try:
        pdf = pressed(as_html(one, rows, desk.language, names, head))
    except PressFailed as failed:
        return told(request, failed.code, 503)
    return _file(pdf, "application/pdf", f"{file_name(one, span)}.pdf")


def _file(content: bytes, kind: str, name: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=kind)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def file_name(register: Register, span: tuple[date, date]) -> str:
    return f"{register.name}-{span[0]}-{span[1]}"


def _look(column: str) -> str:
    """How a column is set: figures to the right, long words wrapped."""
    if column.endswith(("_yd3", "_ac")) or column == "days":
        return "figure"
    return "wordy" if column in WORDY else ""


def _printed(one: Register, row: Any, language: str, names: Mapping[UUID, str]) -> dict[str, object]:
    """A row with, above it and ruled through, what a correction replaced."""
    was = getattr(row, "was", None)
    looks = [_look(column) for column in one.columns]
    struck = getattr(row, "struck", False)
    plain = [not struck or column in STRUCK_STAYS for column in one.columns]
    return {
        "cells": list(zip(written_row(one, row, language, names), looks, plain, strict=True)),
        "was": list(zip(written_row(one, was, language, names), looks, strict=True)) if was else None,
        "entry": getattr(row, "entry", None),
    }


def span_asked(request: HttpRequest, desk: Desk) -> tuple[date, date] | None:
    """The days asked for; a whole year where only that is named; this year where nothing is."""
    try:
        year = int(request.GET.get("year") or desk.today.year)
        first = date.fromisoformat(request.GET["first"]) if request.GET.get("first") else date(year, 1, 1)
        last = date.fromisoformat(request.GET["last"]) if request.GET.get("last") else date(year, 12, 31)
    except ValueError:
        return None
    return (first, last) if first <= last else None
