"""Who sits at the desk: the farm, the person, their language, the farm's day. Every page is given one."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import urlencode

from server.people import reads
from server.people.clock import now
from server.people.errors import NotOfThisFarm, RoleTooSmall
from server.people.models import Farm, Person

PAGES = ("lie_of_the_land", "evening_reading", "gate_sheets", "registers", "reckoner", "the_farm")
"""The pages named at the head, in order; one whose address is not laid yet is left out."""


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


def page(roles: tuple[str, ...] = reads.READING_ROLES) -> Callable[[View], View]:
    """A view of one farm for these roles: ``view(request, desk, …)``. Others are told why not."""

    def wrap(view: View) -> View:
        @functools.wraps(view)
        def inner(request: HttpRequest, farm: UUID, **more: Any) -> HttpResponse:
            if not request.user.is_authenticated:
                return HttpResponseRedirect(f"{reverse('sign_in')}?{urlencode({'next': request.path})}")
            try:
                person = reads.member(request.user, farm, roles)  # type: ignore[arg-type]
            except (NotOfThisFarm, RoleTooSmall) as refused:
                status = 404 if isinstance(refused, NotOfThisFarm) else 403
                return told(request, refused.code, status)
            desk = Desk(person.farm, person, person.language, ZoneInfo(person.farm.zone), now())
            return view(request, desk, **more)

        return inner

    return wrap


def shown(request: HttpRequest, desk: Desk, name: str, status: int = 200, **facts: Any) -> HttpResponse:
    """The page ``name``, told in the person's language."""
    base = {"desk": desk, "farm": desk.farm, "language": desk.language, "page": name, "today": desk.today}
    return render(request, f"web/{name}.html", base | {"nav": _nav(desk)} | facts, status=status)


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
    from django.urls import NoReverseMatch

    out = []
    for name in PAGES:
        try:
            out.append((name, reverse(name, args=[desk.farm.id])))
        except NoReverseMatch:
            continue
    return out
