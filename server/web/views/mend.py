"""An entry corrected or struck at the desk, and a field's leg set with a reason."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.book import reads as book
from server.intake.desk import Draft, write_one
from server.land import reads as land
from server.people import reads as people
from server.people.clock import now
from server.reading import reads, writes
from server.reading.reads import Read
from server.web import body_form
from server.web.desk import Desk, page, shown, told
from server.web.given import Given
from shared.errors import GoodgroundError, Unsound
from shared.languages import has, say
from shared.words.bodies import Body
from shared.words.bodies.desk import LegChange
from shared.words.bodies.reading import Correction
from shared.words.leg import LEGS

NOT_MENDED = (
    *("correction", "strike", "reading", "query", "answer", "seal", "restored", "redact"),
    *("land", "sample", "result"),
)
"""Kinds that are changed elsewhere, or by writing another."""
MOST_WHY = 500


@page(people.DESK_ROLES, methods=("GET", "HEAD", "POST"))
def correct(request: HttpRequest, desk: Desk, entry: UUID) -> HttpResponse:
    """The entry as a form with what it says now; sent, it is a correction with its reason."""
    read = reads.of_entry(desk.farm, entry, desk.now)
    if read is None or read.entry is None or read.struck or read.entry.kind in NOT_MENDED:
        return told(request, "can_not_be_corrected", 404)
    body = _in_force(desk, read)
    asks = body_form.asks(desk.language, body, lambda key: places_of(desk, key))
    given = Given(request.POST)
    fields = {one.id: one.name for one in land.fields(desk.farm.id)}
    problem = ""
    if request.method == "POST":
        why = given.text("why", most=MOST_WHY)
        field = given.id("field", fields, needed=False)
        try:
            if given:
                fixed = body_form.body_of(body, request.POST, asks, desk.zone)
                replaced = writes.Replaced(fixed, field, why)
                writes.correct(desk.farm, desk.person.id, entry, given.turn(), replaced, now())
                messages.info(request, say(desk.language, "reading.corrected_now"))
                return HttpResponseRedirect(reverse("entry", args=[desk.farm.id, entry]))
        except Unsound as error:
            problem = problem_of(desk, error)
        except GoodgroundError as error:
            messages.error(request, say(desk.language, f"refusals.{error.code}.detail"))
            return HttpResponseRedirect(reverse("entry", args=[desk.farm.id, entry]))
    if request.method == "POST":
        asks = body_form.refilled(asks, request.POST)
    facts = {"read": read, "asks": asks, "given": given, "problem": problem, "fields": fields.items()}
    return shown(request, desk, "correct", status=400 if problem or not given else 200, **facts)


def problem_of(desk: Desk, error: Unsound) -> str:
    """Which key can't be used, by its label."""
    parts = [part for part in error.where.replace("[", ".").split(".") if part and part != "body"]
    key = f"entries.key.{parts[0]}" if parts else ""
    label = (
        say(desk.language, key)
        if key and has(desk.language, key)
        else say(desk.language, "reading.this_entry")
    )
    return say(desk.language, "reading.can_not_use", label=label)


def _in_force(desk: Desk, read: Read) -> Body:
    """What the entry says after the correction in force."""
    assert read.entry is not None
    row = book.of_entry(desk.farm.id, read.corrected_by) if read.corrected_by else None
    later = book.entry_of(row) if row is not None else None
    if later is not None and isinstance(later.body, Correction):
        return later.body.body
    return read.entry.body


def places_of(desk: Desk, key: str) -> Iterable[tuple[UUID, str]]:
    """What a key of a body can name."""
    farm = desk.farm.id
    match key:
        case "town":
            return [(one.id, one.name) for one in land.towns(farm, retired=True)]
        case "hauler":
            return [(one.id, one.name) for one in land.haulers(farm, retired=True)]
        case "vehicle":
            return [(one.id, one.label) for one in land.vehicles(farm, retired=True)]
        case "pile":
            return [(one.id, one.name) for one in land.piles(farm, retired=True)]
        case "to":
            grounds = (*land.fields(farm), *land.parts(farm), *land.piles(farm))
            return [(one.id, one.name) for one in grounds]
        case _:
            return []


@page(people.DESK_ROLES, methods=("POST",))
def strike(request: HttpRequest, desk: Desk, entry: UUID) -> HttpResponse:
    given = Given(request.POST)
    why = given.text("why", most=MOST_WHY)
    if book.of_entry(desk.farm.id, entry) is None:
        return told(request, "no_such_entry", 404)
    if not given:
        messages.error(request, say(desk.language, "refusals.say_why.detail"))
    else:
        try:
            writes.strike(desk.farm, desk.person.id, entry, given.turn(), why, now())
            messages.info(request, say(desk.language, "reading.struck_now"))
        except GoodgroundError as error:
            messages.error(request, say(desk.language, f"refusals.{error.code}.detail"))
    return HttpResponseRedirect(reverse("entry", args=[desk.farm.id, entry]))


@page(people.DESK_ROLES, methods=("POST",))
def set_leg(request: HttpRequest, desk: Desk, field: UUID) -> HttpResponse:
    """A field's leg from a day on, with a reason: what the book makes of its entries is put right by this."""
    if land.field(desk.farm.id, field) is None:
        return told(request, "no_such_field", 404)
    given = Given(request.POST)
    leg, crop = given.choice("leg", LEGS), given.text("crop", needed=False, most=100)
    starts_on, why = given.day("starts_on"), given.text("why", most=MOST_WHY)
    if not given or starts_on is None:
        messages.error(request, say(desk.language, "refusals.leg_needs.detail"))
    else:
        body = LegChange(leg, starts_on, why, crop or None)  # type: ignore[arg-type]
        write_one(desk.farm.id, desk.person.id, Draft(body, field=field), now())
        messages.info(request, say(desk.language, "pages.leg_set"))
    return HttpResponseRedirect(reverse("field", args=[desk.farm.id, field]))
