"""The registers: the list, one on screen, the same as a file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import QuerySet
from django.http import FileResponse, HttpRequest, HttpResponse, StreamingHttpResponse
from django.urls import reverse
from django.utils.http import urlencode

from server.land import reads as land
from server.people import reads as people
from server.people.clock import now
from server.people.models import Farm
from server.registers import printings, reads
from server.registers.bundle import bundle
from server.registers.models import Printing
from server.registers.press import PressFailed, pressed
from server.registers.printed import STAYS, as_html, head_of, sealed
from server.registers.printings import Asker
from server.registers.sheet_csv import csv_lines
from server.registers.sheet_xlsx import workbook
from server.web.desk import Desk, page, shown, told
from shared.status.registers import REGISTERS, Register, written_row

FILES = {"CSV": "register_csv", "XLSX": "register_xlsx", "PDF": "register_pdf"}
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
LINES_SHOWN = 300
LINES_AT_ONCE = 600
"""A document of more lines is set beside the server's other work: some fifteen pages keep nobody waiting."""
WORDY = ("why", "action", "change_why", "reason", "residue_to", "sheets")


class Span(NamedTuple):
    """What of a register is asked for: days, both included, and a field where it is one field's alone."""

    first: date
    last: date
    field: UUID | None = None

    def query(self) -> str:
        """As an address asks for it."""
        told = {"first": str(self.first), "last": str(self.last)}
        return urlencode(told | ({"field": str(self.field)} if self.field else {}))


Answer = HttpResponse | StreamingHttpResponse


@page()
def registers(request: HttpRequest, desk: Desk) -> HttpResponse:
    kept = listed_printings(printings_of(desk), desk.language)
    listed = listed_in(desk.language)
    years = reads.years(desk.farm)
    return shown(request, desk, "registers", listed=listed, years=years, printings=kept)


def printings_of(desk: Desk) -> QuerySet[Printing]:
    return printings.of(desk.farm.id, Asker(desk.person.id))


def listed_printings(several: Iterable[Printing], language: str) -> list[tuple[Printing, str]]:
    """Long documents with what each is called."""
    titled = [(one, reads.register_named(one.register)) for one in several]
    return [(one, register.title(language)) for one, register in titled if register is not None]


def listed_in(language: str) -> list[tuple[str, str, str]]:
    """Each register's name, its title and what asks for it."""
    return [(one.name, one.title(language), one.source(language)) for one in REGISTERS.values()]


@page()
def register(request: HttpRequest, desk: Desk, name: str) -> HttpResponse:
    one, span = reads.register_named(name), span_of(request, desk.today)
    if one is None or span is None:
        return told(request, "no_such_register" if one is None else "no_such_day", 404)
    files = [(kind, reverse(view, args=[desk.farm.id, name])) for kind, view in FILES.items()]
    facts = page_of(desk.farm, desk.language, one, span, begin_of(request))
    if facts is None:
        return told(request, "no_such_page_of_it", 404)
    print_at = reverse("ask_printing", args=[desk.farm.id, name])
    return shown(request, desk, "register", files=files, print_at=print_at, **facts)


def begin_of(request: HttpRequest) -> int:
    """The line that a page of a long register begins with; a text that is none begins nowhere."""
    text = request.GET.get("from", "1")
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else 0


def page_of(farm: Farm, language: str, register: Register, span: Span, begin: int) -> dict[str, Any] | None:
    """What a page shows of a register from this line on; None where it has none there."""
    names = reads.names(farm)
    titles = zip(register.column_titles(language), map(_look, register.columns), strict=True)
    rows = reads.rows(farm, register, *span)
    fields = [] if register.name in reads.OF_NO_FIELD else land.fields(farm.id, retired=True)
    if begin < 1 or begin > max(1, len(rows)):
        return None
    shown_rows = rows[begin - 1 : begin - 1 + LINES_SHOWN]
    after = begin + LINES_SHOWN
    return {
        "register": register,
        "title": register.title(language),
        "titles": list(titles),
        "source": register.source(language),
        "sealed": sealed(farm, language),
        "rows": [_printed(register, row, language, names) for row in shown_rows],
        "count": len(rows),
        "begin": begin,
        "end": begin - 1 + len(shown_rows),
        "before": max(1, begin - LINES_SHOWN) if begin > 1 else None,
        "after": after if after <= len(rows) else None,
        "first": span.first,
        "last": span.last,
        "query": span.query(),
        "of_field": span.field,
        "field_name": next((one.name for one in fields if one.id == span.field), ""),
        "fields": sorted(fields, key=lambda one: one.name.casefold()),
        "is_long": len(rows) > LINES_AT_ONCE,
        "years": reads.years(farm),
    }


Maker = Callable[[HttpRequest, Farm, str, Register, Span], Answer]


def _file_of(make: Maker) -> Callable[..., HttpResponse]:
    """A register as a file, for whoever sits at the desk."""

    def view(request: HttpRequest, desk: Desk, name: str) -> Answer:
        one, span = reads.register_named(name), span_of(request, desk.today)
        if one is None or span is None:
            return told(request, "no_such_register" if one is None else "no_such_day", 404)
        return make(request, desk.farm, desk.language, one, span)

    return page()(view)


def csv_answer(request: HttpRequest, farm: Farm, language: str, register: Register, span: Span) -> Answer:
    lines = csv_lines(register, reads.rows(farm, register, *span), language, reads.names(farm))
    return _named(StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8"), register, span, "csv")


def xlsx_answer(request: HttpRequest, farm: Farm, language: str, register: Register, span: Span) -> Answer:
    head = head_of(farm, register, span.first, span.last, language, now(), span.field)
    made = workbook(register, reads.rows(farm, register, *span), language, reads.names(farm), head)
    return _named(HttpResponse(made, content_type=XLSX), register, span, "xlsx")


def pdf_answer(request: HttpRequest, farm: Farm, language: str, register: Register, span: Span) -> Answer:
    """The document; of a long one the page of the register, whose button has it set."""
    head = head_of(farm, register, span.first, span.last, language, now(), span.field)
    rows = reads.rows(farm, register, *span)
    if len(rows) > LINES_AT_ONCE:
        return told(request, "long_document", 409, lines=len(rows))
    html = as_html(register, rows, language, reads.names(farm), head)
    try:
        made = pressed(html)
    except PressFailed as failed:
        return told(request, failed.code, 503)
    return _named(HttpResponse(made, content_type="application/pdf"), register, span, "pdf")


register_csv, register_xlsx, register_pdf = map(_file_of, (csv_answer, xlsx_answer, pdf_answer))


@page(people.DESK_ROLES, methods=("POST",))
def register_bundle(request: HttpRequest, desk: Desk) -> HttpResponse | FileResponse:
    """Every register of some days as files, with the book and how to prove it."""
    span = span_of(request, desk.today)
    if span is None:
        return told(request, "no_such_day", 404)
    try:
        made = bundle(desk.farm, desk.language, span.first, span.last, now())
    except PressFailed as failed:
        return told(request, failed.code, 503)
    return FileResponse(made, as_attachment=True, filename=f"registers-{span.first}-{span.last}.zip")


def _named(answer: Answer, register: Register, span: Span, kind: str) -> Answer:
    name = f"{register.name}-{span.first}-{span.last}.{kind}"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


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
    plain = [not struck or column in STAYS for column in one.columns]
    return {
        "cells": list(zip(written_row(one, row, language, names), looks, plain, strict=True)),
        "was": list(zip(written_row(one, was, language, names), looks, strict=True)) if was else None,
        "entry": getattr(row, "entry", None),
    }


def span_of(request: HttpRequest, today: date) -> Span | None:
    """The days asked for; a whole year where only that is named; this year where nothing is."""
    asked = request.POST if request.method == "POST" else request.GET
    try:
        year = int(asked.get("year") or today.year)
        first = date.fromisoformat(asked["first"]) if asked.get("first") else date(year, 1, 1)
        last = date.fromisoformat(asked["last"]) if asked.get("last") else date(year, 12, 31)
    except ValueError:
        return None
    try:
        field = UUID(asked["field"]) if asked.get("field") else None
    except ValueError:
        return None
    return Span(first, last, field) if first <= last else None
