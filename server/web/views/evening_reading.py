"""The evening reading: the day as a spread, and the rest of it initialled together."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.book import reads as book
from server.people import reads as people
from server.people.clock import now
from server.reading import reads, writes
from server.reading.reads import Read
from server.web.desk import Desk, page, shown, told
from server.web.entries import names_of, told_all
from server.web.stories import Story, stories
from shared.languages import say

UNHEARD_AFTER = timedelta(hours=12)
BACK_DAYS = 60
DAYS_SHOWN = 6


@page()
def evening_reading(request: HttpRequest, desk: Desk) -> HttpResponse:
    day = day_asked(request, desk)
    if day is None:
        return told(request, "no_such_day", 404)
    spread = reads.spread(desk.farm, day, desk.now)
    days = reads.days_unread(desk.farm, desk.today - timedelta(days=BACK_DAYS))
    others = [one for one in days if one[0] != day]
    return shown(
        request,
        desk,
        "evening_reading",
        day=day,
        before=day - timedelta(days=1),
        after=day + timedelta(days=1) if day < desk.today else None,
        spread=spread,
        marks=_marks(desk, (*spread.unusual, *spread.rest)),
        unusual=_listed(desk, spread.unusual),
        rest=_listed(desk, spread.rest),
        unheard=people.unheard(desk.farm.id, desk.now - UNHEARD_AFTER),
        days=others[:DAYS_SHOWN],
        more_days=others[DAYS_SHOWN:],
    )


@page()
def held(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Every entry that is held and waits for a word of the desk, whatever its day."""
    rows = [row for row in book.held(desk.farm.id) if row.entry]
    told_of = reads.against(desk.farm, rows, desk.now)
    waiting = [one for one in reads.all_read(desk.farm, rows, told_of) if not one.settled]
    return shown(request, desk, "held", waiting=_listed(desk, waiting))


@page(people.DESK_ROLES, methods=("POST",))
def initial_the_rest(request: HttpRequest, desk: Desk) -> HttpResponse:
    day = day_asked(request, desk) or desk.today
    asked = [UUID(text) for text in request.POST.getlist("entry") if is_uuid(text)]
    done = writes.initial_the_rest(desk.farm, desk.person.id, day, asked, now())
    messages.info(request, say(desk.language, "reading.initialled_together", count=done.together))
    if done.before:
        messages.info(request, say(desk.language, "reading.marked_before", count=done.before))
    return to_day(desk, day)


def _listed(desk: Desk, read: Sequence[Read]) -> list[Story]:
    """By field and time; of a load the field is where it went."""
    nowhere = say(desk.language, "reading.no_field")
    told = told_all(desk, read, names_of(desk))
    return stories(desk, sorted(told, key=lambda one: (one.field == nowhere, one.field, one.at)))


def _marks(desk: Desk, read: Sequence[Read]) -> dict[str, int]:
    """How many of the day were opened and initialled, how many initialled together, how many wait."""
    initials = reads.initials(desk.farm, [one.id for one in read if one.id is not None])
    opened = [initials[one.id].opened for one in read if one.mark == "initialled" and one.id in initials]
    return {"read": sum(opened), "together": len(opened) - sum(opened)} | {
        "open": sum(not one.settled for one in read)
    }


def day_asked(request: HttpRequest, desk: Desk) -> date | None:
    text = request.GET.get("day") or request.POST.get("day")
    if not text:
        return desk.today
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def is_uuid(text: str) -> bool:
    try:
        UUID(text)
    except ValueError:
        return False
    return True


def to_day(desk: Desk, day: date | None) -> HttpResponse:
    return HttpResponseRedirect(f"{reverse('evening_reading', args=[desk.farm.id])}?day={day or desk.today}")
