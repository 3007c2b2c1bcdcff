"""The evening reading: the day as a spread, one entry opened, the marks."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from server.book import reads as book
from server.people import reads as people
from server.people.clock import now
from server.reading import reads, writes
from server.web.desk import Desk, page, shown, told
from server.web.entries import names_of, told_all
from shared.errors import GoodgroundError
from shared.languages import say

STOCK_QUESTIONS = (
    "which_field",
    "right_figure",
    "which_truck",
    "where_did_it_go",
    "send_photo",
    "who_did_it",
)
UNHEARD_AFTER = timedelta(hours=12)
BACK_DAYS = 21


@page()
def evening_reading(request: HttpRequest, desk: Desk) -> HttpResponse:
    day = _day(request, desk)
    if day is None:
        return told(request, "no_such_day", 404)
    spread = reads.spread(desk.farm, day)
    names = names_of(desk)
    return shown(
        request,
        desk,
        "evening_reading",
        day=day,
        before=day - timedelta(days=1),
        after=day + timedelta(days=1) if day < desk.today else None,
        spread=spread,
        unusual=told_all(desk, spread.unusual, names),
        rest=told_all(desk, spread.rest, names),
        unheard=people.unheard(desk.farm.id, desk.now - UNHEARD_AFTER),
        days=reads.days_unread(desk.farm, desk.today - timedelta(days=BACK_DAYS)),
    )


@page()
def entry(request: HttpRequest, desk: Desk, entry: UUID) -> HttpResponse:
    """One entry opened: what it says, where, by which sheets, what was changed and by whom, its raw text."""
    read = reads.of_entry(desk.farm, entry)
    if read is None:
        return told(request, "no_such_entry", 404)
    names = names_of(desk)
    (one,) = told_all(desk, (read,), names)
    spoken = [
        other for row in book.naming(desk.farm.id, [entry]) if (other := reads.of_entry(desk.farm, row.entry))
    ]
    return shown(
        request,
        desk,
        "entry",
        one=one,
        about=told_all(desk, tuple(spoken), names),
        raw=bytes(read.row.raw or b"").decode("utf-8", "backslashreplace"),
        questions=STOCK_QUESTIONS,
        day=read.row.day,
    )


@require_POST
@page(people.DESK_ROLES)
def initial_the_rest(request: HttpRequest, desk: Desk) -> HttpResponse:
    day = _day(request, desk) or desk.today
    asked = [UUID(text) for text in request.POST.getlist("entry") if _is_uuid(text)]
    done = writes.initial_the_rest(desk.farm, desk.person.id, day, asked, now())
    messages.info(request, say(desk.language, "reading.initialled_together", count=done.together))
    if done.before:
        messages.info(request, say(desk.language, "reading.marked_before", count=done.before))
    return _back(desk, day)


@require_POST
@page(people.DESK_ROLES)
def mark(request: HttpRequest, desk: Desk, entry: UUID) -> HttpResponse:
    """Initial, take, put by or ask about the entry that is open."""
    what, why = request.POST.get("mark"), request.POST.get("why", "").strip()
    try:
        if what == "initialled":
            writes.initial(desk.farm, desk.person.id, entry, now())
        elif what == "taken_as_is":
            writes.take_as_is(desk.farm, desk.person.id, entry, why, now())
        elif what == "put_by":
            writes.put_by(desk.farm, desk.person.id, entry, why, now())
        elif what == "query":
            writes.query(desk.farm, desk.person.id, entry, request.POST.get("ask"), why, now())
    except GoodgroundError as error:
        code = "say_why" if error.code == "unsound" else error.code
        messages.error(request, say(desk.language, f"refusals.{code}.detail"))
        return HttpResponseRedirect(reverse("entry", args=[desk.farm.id, entry]))
    messages.info(request, say(desk.language, f"reading.done.{what}"))
    row = book.of_entry(desk.farm.id, entry)
    return _back(desk, row.day if row else desk.today)


def _day(request: HttpRequest, desk: Desk) -> date | None:
    text = request.GET.get("day") or request.POST.get("day")
    if not text:
        return desk.today
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _is_uuid(text: str) -> bool:
    try:
        UUID(text)
    except ValueError:
        return False
    return True


def _back(desk: Desk, day: date | None) -> HttpResponse:
    return HttpResponseRedirect(f"{reverse('evening_reading', args=[desk.farm.id])}?day={day or desk.today}")
