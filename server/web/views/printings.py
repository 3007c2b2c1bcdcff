"""Long documents: asked for, watched while they are set, fetched. The same for a person of the farm and for whoever
holds a link."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.people.clock import now
from server.people.models import Farm
from server.registers import printings, reads
from server.registers.models import Printing, ReaderLink
from server.registers.printings import Asker, Wanted
from server.web.desk import Desk, page, shown, told
from server.web.views.inspector import by_link, shown_to
from server.web.views.registers import span_of

Address = Callable[[str, Any], str]


@page(methods=("POST",))
def ask_printing(request: HttpRequest, desk: Desk, name: str) -> HttpResponse:
    def address(view: str, one: Any) -> str:
        return reverse(view, args=[desk.farm.id, one])

    return _asked(request, desk.farm, desk.language, Asker(desk.person.id), name, address)


@page()
def printing(request: HttpRequest, desk: Desk, printing: int) -> HttpResponse:
    one = _one(desk.farm.id, Asker(desk.person.id), printing)
    if one is None:
        return told(request, "no_such_printing", 404)
    file = reverse("printing_file", args=[desk.farm.id, one.id])
    again = reverse("ask_printing", args=[desk.farm.id, one.register])
    return shown(request, desk, "printing", under="registers", **_facts(one, desk.language, file, again))


@page()
def printing_file(request: HttpRequest, desk: Desk, printing: int) -> HttpResponse | FileResponse:
    return _file(request, _one(desk.farm.id, Asker(desk.person.id), printing))


def shown_ask_printing(request: HttpRequest, link: ReaderLink, token: str, name: str) -> HttpResponse:
    def address(view: str, one: Any) -> str:
        return reverse(f"shown_{view}", args=[token, one])

    return _asked(request, link.farm, link.language, Asker(link=link), name, address)


def shown_printing(request: HttpRequest, link: ReaderLink, token: str, printing: int) -> HttpResponse:
    one = _one(link.farm_id, Asker(link=link), printing)
    if one is None:
        return told(request, "no_such_printing", 404)
    file = reverse("shown_printing_file", args=[token, one.id])
    again = reverse("shown_ask_printing", args=[token, one.register])
    return shown_to(request, link, "shown_printing", token=token, **_facts(one, link.language, file, again))


def shown_printing_file(
    request: HttpRequest, link: ReaderLink, token: str, printing: int
) -> HttpResponse | FileResponse:
    return _file(request, _one(link.farm_id, Asker(link=link), printing))


shown_ask_printing = by_link(shown_ask_printing, ("POST",))
shown_printing, shown_printing_file = map(by_link, (shown_printing, shown_printing_file))


def _asked(
    request: HttpRequest, farm: Farm, language: str, asker: Asker, name: str, address: Address
) -> HttpResponse:
    register, span = reads.register_named(name), span_of(request, now().date())
    if register is None:
        return told(request, "no_such_register", 404)
    if span is None or not {"first", "last"} <= request.POST.keys():
        return told(request, "no_such_day", 400)
    lines = len(reads.rows(farm, register, *span))
    wanted = Wanted(name, span.first, span.last, language, lines, span.field)
    one = printings.ask(farm, asker, wanted, now())
    if one is None:
        return told(request, "enough_printings", 429)
    return HttpResponseRedirect(address("printing", one.id))


def _one(farm: UUID, asker: Asker, printing: int) -> Printing | None:
    found = printings.of(farm, asker).filter(id=printing).first()
    return printings.looked_at(found, now()) if found is not None else None


def _facts(one: Printing, language: str, file: str, again: str) -> dict[str, Any]:
    register = reads.register_named(one.register)
    return {
        "printing": one,
        "title": register.title(language) if register is not None else one.register,
        "first": one.first,
        "last": one.last,
        "until": one.kept_until and one.kept_until.astimezone(ZoneInfo(one.farm.zone)).date(),
        "file": file,
        "again": again,
        "goes_on": one.state in ("waiting", "at_work"),
    }


def _file(request: HttpRequest, one: Printing | None) -> HttpResponse | FileResponse:
    if one is None:
        return told(request, "no_such_printing", 404)
    if one.state != "ready":
        return told(request, "printing_not_ready", 409)
    name = f"{one.register}-{one.first}-{one.last}.pdf"
    return FileResponse(
        printings.file_of(one).open("rb"), as_attachment=True, filename=name, content_type="application/pdf"
    )
