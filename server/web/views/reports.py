"""The reports: a year on one page, what the rest was worth, the farm's book; on screen, printed and as PDF."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseRedirect
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.text import slugify

from server.ahead.fertilizer import farm_fertilizer
from server.registers.press import PressFailed, pressed
from server.registers.reports.rest_worth import rest_worth
from server.registers.reports.year import year_page, years_told
from server.web import book_making
from server.web.desk import Desk, page, shown, told
from server.web.fertilizer import year_lines
from server.web.worth_rows import LETTERS, WorthRow
from shared.languages import LANGUAGES


@page()
def reports(request: HttpRequest, desk: Desk) -> HttpResponse:
    return shown(request, desk, "reports", years=years_told(desk.farm.id, desk.today))


@page()
def year(request: HttpRequest, desk: Desk, year: int) -> HttpResponse:
    facts = _year(desk, year)
    return (
        told(request, "no_such_year", 404) if facts is None else shown(request, desk, "report_year", **facts)
    )


@page()
def year_pdf(request: HttpRequest, desk: Desk, year: int) -> HttpResponse:
    facts = _year(desk, year)
    if facts is None:
        return told(request, "no_such_year", 404)
    return paper(request, desk, "web/report_year_body.html", f"year-{year}", facts)


def _year(desk: Desk, year: int) -> dict[str, Any] | None:
    years = years_told(desk.farm.id, desk.today)
    if year not in years:
        return None
    return {"year": year, "years": years, "told": year_page(desk.farm, year, desk.today), "look": "year"}


@page()
def worth(request: HttpRequest, desk: Desk) -> HttpResponse:
    return shown(request, desk, "report_worth", **_worth(desk, desk.language))


@page()
def worth_pdf(request: HttpRequest, desk: Desk) -> HttpResponse:
    return paper(
        request,
        desk,
        "web/report_worth_body.html",
        f"rest-{desk.today}",
        _worth(desk, _language(request, desk)),
    )


def _worth(desk: Desk, language: str) -> dict[str, Any]:
    told = rest_worth(desk.farm, desk.today)
    labs = sorted({move.lab for one in told.fields for move in one.soil})
    sheets = list(zip(LETTERS, labs, strict=False))
    lettered = {lab: letter for letter, lab in sheets}
    rows = [WorthRow(one, lettered) for one in told.rested]
    facts = {"told": told, "rows": rows, "labs": sheets, "look": "worth", "last": desk.today}
    return facts | {"whole": _not_bought(desk, language)}


def _not_bought(desk: Desk, language: str) -> dict[str, Any] | None:
    """The plan's years of fertilizer together, None where no crop is planned."""
    found = farm_fertilizer(desk.farm.id, desk.today)
    lines = year_lines(language, found)
    if found.whole is None or not lines:
        return None
    return {"line": lines[-1], "cells_known": found.whole.known > 0}


def _language(request: HttpRequest, desk: Desk) -> str:
    """The language that a paper is asked for in, else the reader's."""
    wanted = request.GET.get("language", desk.language)
    return wanted if wanted in LANGUAGES else desk.language


@page(methods=("GET", "HEAD", "POST"))
def book(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The farm's book: the last one made, how far the next one is, and a button for it."""
    farm, language = desk.farm.id, desk.language
    if request.method == "POST":
        if not desk.may_write:
            return told(request, "role_too_small", 403)
        book_making.begin(farm, language)
        return HttpResponseRedirect(reverse("report_book", args=[farm]))
    file = book_making.file_of(farm, language)
    there = file.stat() if file.is_file() else None
    return shown(
        request,
        desk,
        "report_book",
        making=book_making.under_way(farm, language),
        made_at=datetime.fromtimestamp(there.st_mtime, UTC) if there else None,
        size_kb=max(1, there.st_size // 1024) if there else 0,
    )


@page()
def book_pdf(request: HttpRequest, desk: Desk) -> HttpResponse | FileResponse:
    file = book_making.file_of(desk.farm.id, desk.language)
    if not file.is_file():
        return told(request, "no_book_made", 404)
    name = f"{slugify(desk.farm.name) or 'farm'}-book.pdf"
    return FileResponse(file.open("rb"), as_attachment=True, filename=name, content_type="application/pdf")


def paper(request: HttpRequest, desk: Desk, body: str, name: str, facts: dict[str, Any]) -> HttpResponse:
    """A report as PDF."""
    language = _language(request, desk)
    base = {
        "desk": desk,
        "farm": desk.farm,
        "language": language,
        "today": desk.today,
        "body": body,
        "print": True,
    }
    try:
        made = pressed(render_to_string("web/report_paper.html", base | facts))
    except PressFailed as failed:
        return told(request, failed.code, 503)
    answer = HttpResponse(made, content_type="application/pdf")
    file = f"{slugify(desk.farm.name) or 'farm'}-{name}.pdf"
    answer["Content-Disposition"] = f'attachment; filename="{file}"'
    return answer
