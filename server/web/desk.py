"""Who sits at the desk: the farm, the person, their language, the farm's day. Every page is given one."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed, HttpResponseRedirect
from django.shortcuts import render
from django.urls import NoReverseMatch, reverse
from django.utils.http import urlencode

from server.book.placing import looking
from server.people import reads
from server.people.clock import now
from server.people.errors import NotOfThisFarm, RoleTooSmall
from server.people.models import Farm, Person
from server.status.dues import first_of_day
from server.status.following import followed

PAGES = ("lie_of_the_land", "evening_reading", "gate_sheets", "ahead", "registers", "reckoner", "the_farm")
"""The pages named at the head, in order; one whose address is not laid yet is left out."""

UNDER = {
    "entry": "evening_reading",
    "round": "evening_reading",
    "held": "evening_reading",
    "correct": "evening_reading",
    **dict.fromkeys(("write", "write_kind", "jobs"), "evening_reading"),
    **dict.fromkeys(
        ("papers", "paper", "samples", "results_csv", "weather", "programs", "second_step"), "the_farm"
    ),
    "register": "registers",
    "reader_links": "registers",
    "field": "lie_of_the_land",
    "computation": "reckoner",
    **dict.fromkeys(("ahead_plan", "ahead_sketch", "ahead_waiting", "forecasts"), "ahead"),
    **dict.fromkeys(("fertilizer", "fertilizer_table"), "ahead"),
    **dict.fromkeys(("reports", "report_year", "report_worth", "report_book"), "ahead"),
    "piles": "gate_sheets",
    "town": "gate_sheets",
    "ground": "the_farm",
    "piece": "the_farm",
    **dict.fromkeys(
        (
            "people",
            "person",
            "phones",
            "slip",
            "carry",
            "towns",
            "sheets",
            "settings",
            "password",
            "bring_in",
        ),
        "the_farm",
    ),
}
"""Pages that stand under one of the head's."""


@dataclass(frozen=True, slots=True)
class Desk:
    """What a page needs to know of whoever asked for it."""

    farm: Farm
    person: Person
    language: str
    zone: ZoneInfo
    now: datetime

    @property
    def today(self) -> date:
        return self.now.astimezone(self.zone).date()

    @property
    def may_write(self) -> bool:
        return self.person.role in reads.DESK_ROLES


View = Callable[..., HttpResponse]
LOOKING = ("GET", "HEAD")


def page(
    roles: tuple[str, ...] = reads.READING_ROLES, methods: tuple[str, ...] = LOOKING
) -> Callable[[View], View]:
    """A view of one farm for these roles: ``view(request, desk, …)``. Others are told why not. What follows from
    the book is brought up to its last number before anybody looks at it."""

    def wrap(view: View) -> View:
        @functools.wraps(view)
        def inner(request: HttpRequest, farm: UUID, **more: Any) -> HttpResponse:
            if request.method not in methods:
                return HttpResponseNotAllowed(methods)
            if not request.user.is_authenticated:
                return _to_sign_in(request)
            try:
                person = reads.member(request.user, farm, roles)  # type: ignore[arg-type]
            except (NotOfThisFarm, RoleTooSmall) as refused:
                status = 404 if isinstance(refused, NotOfThisFarm) else 403
                return told(request, refused.code, status)
            at = now()
            followed(person.farm_id, at)
            first_of_day(person.farm, at)
            with looking(person.farm_id):
                return view(request, _desk(person, at), **more)

        return inner

    return wrap


def _desk(person: Person, at: datetime) -> Desk:
    return Desk(person.farm, person, person.language, ZoneInfo(person.farm.zone), at)


def _to_sign_in(request: HttpRequest) -> HttpResponse:
    """A page is found again after signing in; a form is not sent twice: whoever filled it in is told."""
    if request.method not in LOOKING:
        return told(request, "signed_out", 403)
    after = request.get_full_path()
    return HttpResponseRedirect(f"{reverse('sign_in')}?{urlencode({'next': after})}")


def shown(request: HttpRequest, desk: Desk, name: str, status: int = 200, **facts: Any) -> HttpResponse:
    """The page ``name``, told in the person's language."""
    base = {"desk": desk, "farm": desk.farm, "language": desk.language, "page": name, "today": desk.today}
    base |= {"nav": _nav(desk), "under": UNDER.get(name, name)}
    return render(request, f"web/{name}.html", base | facts, status=status)


def told(request: HttpRequest, code: str, status: int, **facts: Any) -> HttpResponse:
    """A page that says one thing: what is wrong, and what to do."""
    language = getattr(request.user, "language", None) or browser_language(request)
    return render(
        request, "web/told.html", {"code": code, "facts": facts, "language": language}, status=status
    )


def browser_language(request: HttpRequest) -> str:
    """The language of somebody who has not signed in: Spanish where the browser asks for it first."""
    return "es" if request.headers.get("Accept-Language", "").lower().startswith("es") else "en"


def _nav(desk: Desk) -> list[tuple[str, str]]:
    out = []
    for name in PAGES:
        try:
            out.append((name, reverse(name, args=[desk.farm.id])))
        except NoReverseMatch:
            continue
    return out
