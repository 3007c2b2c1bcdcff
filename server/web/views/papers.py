"""The farm's papers and visits, what is to be put right, and what an audit asks that is not kept here; jobs put to
people."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.intake.desk import Draft, write
from server.land import reads as land
from server.people import reads as people
from server.people.clock import now
from server.reading.papers import Paper, papers, put_right
from server.status import reads as status
from server.web.desk import Desk, page, shown
from server.web.given import Given
from shared.errors import GoodgroundError
from shared.languages import say
from shared.words.bodies.desk import Job
from shared.words.due import Due

SOON = timedelta(days=60)
AHEAD = timedelta(days=14)
NOT_KEPT = ("training", "water", "hygiene", "cleaning", "animals", "compost", "exemption", "harvest")
MOST_WHY = 500


@page()
def all_papers(request: HttpRequest, desk: Desk) -> HttpResponse:
    found = papers(desk.farm)
    towns = {one.id: one.name for one in land.towns(desk.farm.id, retired=True)}
    listed = [
        (one, towns.get(one.body.town, "") if one.body.town else "", _press(one, desk.today)) for one in found
    ]
    return shown(request, desk, "papers", listed=listed, not_kept=NOT_KEPT)


def _press(one: Paper, today: date) -> str:
    """*over* where a day has passed, *soon* where one comes within two months."""
    days = [on for on in (one.body.cure_by, one.body.expires_on) if on is not None]
    if any(on < today for on in days):
        return "over"
    return "soon" if any(on <= today + SOON for on in days) else ""


@page(people.DESK_ROLES, methods=("POST",))
def cured(request: HttpRequest, desk: Desk, entry: UUID) -> HttpResponse:
    given = Given(request.POST)
    why = given.text("why", most=MOST_WHY)
    try:
        if given:
            put_right(desk.farm, desk.person.id, entry, given.turn(), why, now())
            messages.info(request, say(desk.language, "papers.put_right_now"))
        else:
            messages.error(request, say(desk.language, "refusals.say_why.detail"))
    except GoodgroundError as error:
        messages.error(request, say(desk.language, f"refusals.{error.code}.detail"))
    return HttpResponseRedirect(reverse("papers", args=[desk.farm.id]))


@page(people.DESK_ROLES, methods=("GET", "HEAD", "POST"))
def jobs(request: HttpRequest, desk: Desk) -> HttpResponse:
    """What is due in two weeks, each put to somebody for a day; it comes first on their phone."""
    until = desk.today + AHEAD
    open_ones = [
        one for one in status.dues(desk.farm.id) if (one.earliest or one.last or desk.today) <= until
    ]
    hands = {one.id: one.name for one in people.people(desk.farm.id)}
    given = Given(request.POST)
    if request.method == "POST":
        drafts = [draft for one in open_ones if (draft := _put(desk, given, one, set(hands))) is not None]
        if given:
            if drafts:
                write(desk.farm.id, desk.person.id, drafts, now())
            messages.info(request, say(desk.language, "papers.jobs_put", count=len(drafts)))
            return HttpResponseRedirect(request.path)
    names = {one.id: one.name for one in land.fields(desk.farm.id)}
    facts: dict[str, Any] = {"hands": [(str(id), name) for id, name in hands.items()], "given": given}
    facts["dues"] = [
        (one, names.get(one.field, ""), str(one.person or ""), _stands(one)) for one in open_ones
    ]
    return shown(
        request, desk, "jobs", status=200 if given else 400, tomorrow=desk.today + timedelta(days=1), **facts
    )


def _stands(due: Due) -> str:
    """To whom and for when it is put, as one text: what a form was made from."""
    return f"{due.person} {due.on}" if due.person is not None else ""


def _put(desk: Desk, given: Given, due: Due, hands: set[UUID]) -> Draft | None:
    """The job as the form puts it, where that is other than it stands. The form names each due by its own id: one that
    is no longer due is left out."""
    if f"who.{due.id}" not in given.form:
        return None
    who = given.id(f"who.{due.id}", hands, needed=False)
    on = given.day(f"on.{due.id}", needed=who is not None)
    place = given.decimal(f"place.{due.id}", "1", "1000", needed=False)
    text = given.text(f"text.{due.id}", needed=False)
    seen, here = given.raw(f"was.{due.id}"), _stands(due)
    if who is None or on is None or (f"{who} {on}" == seen and not text):
        return None
    if seen != here:
        given.fault("jobs", "changed")
        return None
    body = Job(due.id, who, on, int(place) if place is not None else None, text or None)
    return Draft(body, field=due.field)
