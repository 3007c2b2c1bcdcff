"""The evening reading: the day as a spread, the rest of it initialled together, the day's seal, its queries."""

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
from server.people.models import Phone
from server.reading import reads, sealing, writes
from server.reading.reads import Read, Spread
from server.web.desk import Desk, page, shown, told
from server.web.entries import Names, names_of, told_all
from server.web.questions import asked
from server.web.stories import Story, stories
from shared.errors import GoodgroundError
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
    names, silent = names_of(desk), unheard(desk)
    return shown(
        request,
        desk,
        "evening_reading",
        day=day,
        before=day - timedelta(days=1),
        after=day + timedelta(days=1) if day < desk.today else None,
        spread=spread,
        marks=_marks(spread),
        unusual=_listed(desk, spread.unusual, names),
        rest=_listed(desk, spread.rest, names),
        addendum=_listed(desk, spread.addendum, names),
        questions=asked(desk, [one.id for one in spread.everything if one.id is not None]),
        sealed=_sealed(desk, spread, names),
        unheard=silent,
        unheard_names=", ".join(one.label for one in silent),
        days=others[:DAYS_SHOWN],
        more_days=others[DAYS_SHOWN:],
    )


@page()
def held(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Every entry that is held and waits for a word of the desk, whatever its day."""
    rows = [row for row in book.held(desk.farm.id) if row.entry]
    told_of = reads.against(desk.farm, rows, desk.now)
    waiting = [one for one in reads.all_read(desk.farm, rows, told_of) if not one.settled]
    return shown(request, desk, "held", waiting=_listed(desk, waiting, names_of(desk)))


@page(people.DESK_ROLES, methods=("POST",))
def initial_the_rest(request: HttpRequest, desk: Desk) -> HttpResponse:
    day = day_asked(request, desk) or desk.today
    ticked = [UUID(text) for text in request.POST.getlist("entry") if is_uuid(text)]
    done = writes.initial_the_rest(desk.farm, desk.person.id, day, ticked, now())
    messages.info(request, say(desk.language, "reading.initialled_together", count=done.together))
    if done.before:
        messages.info(request, say(desk.language, "reading.marked_before", count=done.before))
    return to_day(desk, day)


@page(people.DESK_ROLES, methods=("POST",))
def seal_day(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Seal up to now as the reading of a day; while phones are not heard only by somebody who says they know."""
    day = day_asked(request, desk)
    if day is None or day > desk.today:
        return told(request, "no_such_day", 404)
    if unheard(desk) and request.POST.get("known") != "on":
        messages.error(request, say(desk.language, "seal.say_you_know"))
        return to_day(desk, day)
    try:
        row = sealing.seal_day(desk.farm.id, desk.person.id, day, request.POST.get("seen", ""), now())
    except GoodgroundError as error:
        messages.error(request, say(desk.language, f"refusals.{error.code}.detail"))
        return to_day(desk, day)
    messages.info(request, say(desk.language, "seal.done", number=row.number - 1))
    return to_day(desk, day)


def unheard(desk: Desk) -> list[Phone]:
    return people.unheard(desk.farm.id, desk.now - UNHEARD_AFTER)


def _sealed(desk: Desk, spread: Spread, names: Names) -> dict[str, object]:
    """The seal of the day shown, the last seal of all, and what stands after it."""
    last = sealing.last_seal(desk.farm.id)
    covered = last[1].last if last is not None else 0
    return {
        "day": spread.seal,
        "by": (names(spread.seal.row.by) or "") if spread.seal is not None and spread.seal.row.by else "",
        "seen": last[1].root if last is not None else "",
        # The line of the last seal is itself not covered yet, and nothing to seal by itself.
        "fresh": max(0, desk.farm.number - (last[0].number if last is not None else 0)),
        "first": covered + 1,
        "last": desk.farm.number,
        "held": reads.held_unsettled(desk.farm.id),
    }


def _listed(desk: Desk, read: Sequence[Read], names: Names) -> list[Story]:
    """By field and time; of a load the field is where it went."""
    nowhere = say(desk.language, "reading.no_field")
    told = told_all(desk, read, names)
    return stories(desk, sorted(told, key=lambda one: (one.field == nowhere, one.field, one.at)))


def _marks(spread: Spread) -> dict[str, int]:
    """How many of the day were opened and initialled, how many initialled together, how many wait."""
    margins = [one.margin for one in spread.everything]
    return {
        "read": margins.count("initialled_opened"),
        "together": margins.count("initialled_together"),
        "open": sum(not one.settled for one in spread.everything),
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
