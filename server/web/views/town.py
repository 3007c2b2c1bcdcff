"""One town's season at the gate: the agreement, our count against theirs, and the letter that tells the town so."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.text import slugify

from server.intake.desk import Draft, write_one
from server.land import models, writes
from server.people.clock import now
from server.registers.press import PressFailed, pressed
from server.registers.reads import names
from server.web.desk import Desk, page, shown, told
from server.web.gate import Gate, gate_of, season_of, seasons, span_of
from server.web.given import Given
from server.web.loads import told_loads
from server.web.town_season import Agreement, Counted, agreements, found_later, in_force, money
from server.web.views.gate_sheets import TONS_SOURCE
from shared.languages import LANGUAGES, say
from shared.words.bodies.desk import Document

BOTH = ("GET", "HEAD", "POST")
MOST_WORDS = 2_000


@page(methods=BOTH)
def town(request: HttpRequest, desk: Desk, town: UUID) -> HttpResponse:
    """A season of one town; an agreement written here is an entry of the book."""
    row = models.Town.objects.filter(farm_id=desk.farm.id, id=town).first()
    season = _season(request, desk)
    if row is None or season is None:
        return told(request, "no_such_town", 404)
    given = Given(request.POST)
    if request.method == "POST":
        if not desk.may_write:
            return shown(request, desk, "town", status=403, given=given, **_town(desk, row, season))
        if _agree(desk, row, given):
            messages.info(request, say(desk.language, "piles.town.agreed_now", town=row.name))
            return HttpResponseRedirect(reverse("town", args=[desk.farm.id, town]))
    return shown(request, desk, "town", status=200 if given else 400, given=given, **_town(desk, row, season))


def _season(request: HttpRequest, desk: Desk) -> int | None:
    """The season asked for, else the one that today is in; None for none that there is."""
    said = request.GET.get("season") or str(season_of(desk.today))
    try:
        span_of(int(said))
    except ValueError:
        return None
    return int(said)


def _agree(desk: Desk, row: models.Town, given: Given) -> bool:
    """Whether the agreement could be written; the season's cap goes to the phones with the town."""
    body = Document(
        what="agreement",
        title=given.text("title", most=200),
        town=row.id,
        issued_on=given.day("issued_on"),
        expires_on=given.day("expires_on", needed=False),
        season_cap_yd3=given.decimal("season_cap_yd3", "0", "1000000", needed=False),
        price_per_yd3=given.decimal("price_per_yd3", "-100", "100", needed=False),
        text=given.text("text", needed=False, most=MOST_WORDS) or None,
    )
    if body.issued_on and body.expires_on and body.expires_on < body.issued_on:
        given.fault("expires_on", "before_it_began")
    if not given:
        return False
    write_one(desk.farm.id, desk.person.id, Draft(body), now())
    if in_force(agreements(desk).get(row.id, []), desk.today) and body.season_cap_yd3 is not None:
        writes.put_town(desk.farm.id, now(), row.id, season_cap_yd3=body.season_cap_yd3)
    return True


@dataclass(frozen=True, slots=True)
class Season:
    """A town's season as the page and the letter tell it."""

    gate: Gate
    yards_yd3: Decimal
    tons: float
    cap_yd3: Decimal | None
    agreement: Agreement | None
    counted: list[Counted]

    @property
    def over_yd3(self) -> Decimal | None:
        if self.cap_yd3 is None or self.yards_yd3 <= self.cap_yd3:
            return None
        return self.yards_yd3 - self.cap_yd3


def _town(desk: Desk, row: models.Town, season: int) -> dict[str, Any]:
    first, last = span_of(season)
    gate = gate_of(desk, first, last, row.id, with_room=False)
    several = agreements(desk).get(row.id, [])
    agreement = in_force(several, min(desk.today, last))
    tally = next((one.tally for one in gate.towns if one.tally.town == row.id), None)
    yards = tally.yards_yd3 if tally else Decimal(0)
    cap = agreement.cap_yd3 if agreement and agreement.cap_yd3 is not None else row.value().season_cap_yd3
    days = [
        Counted(on, one) for on, sheet in reversed(gate.days) for one in sheet.towns if one.town == row.id
    ]
    told = Season(gate, yards, tally.tons if tally else 0.0, cap, agreement, days)
    called = names(desk.farm)
    return {
        "town": row,
        "season": season,
        "seasons": seasons(desk),
        "told": told,
        "tally": tally,
        "past": [one for one in several if one is not agreement],
        "is_over": agreement is not None and agreement.expired(desk.today),
        "money": money(agreement, yards),
        "turned_back": told_loads(desk, gate.turned_back, called),
        "found": [one for one in found_later(desk, gate.loads, called, first, last) if one.kind == "load"],
        "tons_source": TONS_SOURCE,
    }


@page()
def letter(request: HttpRequest, desk: Desk, town: UUID) -> HttpResponse:
    """The letter as a page to print."""
    html = _letter(request, desk, town)
    return HttpResponse(html) if html is not None else told(request, "no_such_town", 404)


@page()
def letter_pdf(request: HttpRequest, desk: Desk, town: UUID) -> HttpResponse:
    html = _letter(request, desk, town)
    if html is None:
        return told(request, "no_such_town", 404)
    try:
        made = pressed(html)
    except PressFailed as failed:
        return told(request, failed.code, 500)
    answer = HttpResponse(made, content_type="application/pdf")
    name = slugify(models.Town.objects.get(farm_id=desk.farm.id, id=town).name) or "town"
    answer["Content-Disposition"] = f'attachment; filename="leaves-{name}-{_season(request, desk)}.pdf"'
    return answer


def _letter(request: HttpRequest, desk: Desk, town: UUID) -> str | None:
    row = models.Town.objects.filter(farm_id=desk.farm.id, id=town).first()
    season = _season(request, desk)
    if row is None or season is None:
        return None
    language = request.GET.get("language", desk.language)
    told_as = language if language in LANGUAGES else desk.language
    facts = _town(desk, row, season) | {
        "desk": desk,
        "farm": desk.farm,
        "language": told_as,
        "today": desk.today,
    }
    return render_to_string("web/letter.html", facts)
