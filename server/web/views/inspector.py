"""What somebody outside the farm reads by a link: the registers, on screen and as files, until its day is over."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from server.people import reads as people
from server.people.clock import now
from server.registers import links, printings, reads
from server.registers.models import ReaderLink
from server.registers.printings import Asker
from server.status.following import followed
from server.web.desk import Desk, page, shown, told
from server.web.given import Given
from server.web.views import registers
from shared.languages import LANGUAGES, say

MAKERS = {"csv": registers.csv_answer, "xlsx": registers.xlsx_answer, "pdf": registers.pdf_answer}


@page(people.DESK_ROLES, methods=("GET", "HEAD", "POST"))
def reader_links(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The links that there are, how often each was opened, and a form for a new one."""
    given, link = Given(request.POST), ""
    if request.method == "POST":
        label, language = given.text("label"), given.choice("language", LANGUAGES)
        last_day = given.day("last_day")
        if last_day is not None and not desk.today <= last_day <= desk.today + links.LONGEST:
            given.fault("last_day", "within_a_year")
        if given and last_day is not None:
            token = links.make(desk.farm, desk.person.id, label, language, last_day, now())
            link = request.build_absolute_uri(reverse("shown_registers", args=[token]))
    facts: dict[str, Any] = {
        "links": [(one, links.openings(one)) for one in links.of_farm(desk.farm.id)],
        "link": link,
        "languages": LANGUAGES,
    }
    filled = given if not link else Given(request.GET)
    answer = shown(
        request, desk, "reader_links", status=200 if given else 400, given=filled, now=desk.now, **facts
    )
    answer["Cache-Control"] = "no-store"
    return answer


@page(people.DESK_ROLES, methods=("POST",))
def stop_link(request: HttpRequest, desk: Desk, link: int) -> HttpResponse:
    if not links.stop(desk.farm.id, link, now()):
        return told(request, "link_over", 404)
    messages.info(request, say(desk.language, "pages.links.stopped_now"))
    return HttpResponseRedirect(reverse("reader_links", args=[desk.farm.id]))


View = Callable[..., HttpResponse]


def by_link(view: View, methods: tuple[str, ...] = ("GET", "HEAD")) -> View:
    """A view for whoever holds a link; each look is written down before anything is shown."""

    def inner(request: HttpRequest, token: str, **more: Any) -> HttpResponse:
        if request.method not in methods:
            return HttpResponseNotAllowed(methods)
        what = more.get("name", "") or _printing(more)
        try:
            link = links.opened(token, f"{what}.{more.get('kind', '')}".strip("."), _address(request), now())
        except links.LinkOver:
            return told(request, "link_over", 410)
        followed(link.farm_id, now())
        answer = view(request, link, token, **more)
        answer["Cache-Control"] = "no-store"
        answer["X-Robots-Tag"] = "noindex"
        return answer

    return inner


def _printing(more: Mapping[str, Any]) -> str:
    return f"printing {more['printing']}" if "printing" in more else ""


def _address(request: HttpRequest) -> str:
    return str(request.META.get("REMOTE_ADDR", ""))


def shown_to(request: HttpRequest, link: ReaderLink, name: str, **facts: Any) -> HttpResponse:
    zone = ZoneInfo(link.farm.zone)
    base = {"language": link.language, "link": link, "today": now().astimezone(zone).date(), "zone": zone}
    return render(request, f"web/{name}.html", base | facts)


@by_link
def shown_registers(request: HttpRequest, link: ReaderLink, token: str) -> HttpResponse:
    listed = registers.listed_in(link.language)
    kept = registers.listed_printings(printings.of(link.farm_id, Asker(link=link)), link.language)
    return shown_to(request, link, "shown_registers", listed=listed, token=token, printings=kept)


@by_link
def shown_register(request: HttpRequest, link: ReaderLink, token: str, name: str) -> HttpResponse:
    one, span = reads.register_named(name), registers.span_of(request, _today(link))
    if one is None or span is None:
        return told(request, "no_such_register" if one is None else "no_such_day", 404)
    facts = registers.page_of(link.farm, link.language, one, span, registers.begin_of(request))
    if facts is None:
        return told(request, "no_such_page_of_it", 404)
    files = [(kind.upper(), reverse("shown_file", args=[token, name, kind])) for kind in MAKERS]
    print_at = reverse("shown_ask_printing", args=[token, name])
    return shown_to(request, link, "shown_register", token=token, files=files, print_at=print_at, **facts)


@by_link
def shown_file(request: HttpRequest, link: ReaderLink, token: str, name: str, kind: str) -> HttpResponse:
    one, span = reads.register_named(name), registers.span_of(request, _today(link))
    if one is None or span is None or kind not in MAKERS:
        return told(request, "no_such_day" if one is not None and kind in MAKERS else "no_such_register", 404)
    return MAKERS[kind](request, link.farm, link.language, one, span)


def _today(link: ReaderLink) -> date:
    return now().astimezone(ZoneInfo(link.farm.zone)).date()
