"""The ten-year plan: wishes asked for, plans side by side as ribbons, fields pinned, one kept as the farm's plan."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.ahead import sketches, solving
from server.ahead.grounds import grounds_of, plans_of
from server.ahead.models import Sketch
from server.people.clock import now
from server.web.ahead import (
    asked_for,
    broken_words,
    pin_asked,
    plan_lines,
    present_lines,
    side_by_side,
    wish_words,
)
from server.web.desk import Desk, page, shown, told
from server.web.given import Given
from shared.ahead.plan_check import breaches, year_sums
from shared.ahead.wishes import EMPHASES, Use, Wishes, read_diseases
from shared.languages import say
from shared.reckoning.rotation import DISEASES
from shared.words.leg import LEGS

BOTH = ("GET", "HEAD", "POST")


@page(methods=BOTH)
def plan(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The farm's plan as it is, the last sketch, and the form that asks for another."""
    farm = desk.farm.id
    last = sketches.last_sketch(farm)
    wishes = sketches.wishes_from(last.wishes) if last else sketches.usual_wishes(farm, desk.today)
    if request.method == "POST" and not desk.may_write:
        return told(request, "role_too_small", 403)
    given = Given(request.POST)
    if request.method == "POST":
        wanted = asked_for(given, wishes, desk.today.year + 1)
        if wanted is not None and given:
            pinned = sketches.pinned_of(last) if last and given.ticked("pins") else {}
            return _asked(desk, wanted, pinned)
    grounds = grounds_of(farm, desk.today)
    present = plans_of(farm)
    whole = {one.id: dict(one.present) for one in grounds}
    covered = all(set(one.years(wishes.first, wishes.count)) <= set(whole[one.id]) for one in grounds)
    return shown(
        request,
        desk,
        "ahead_plan",
        status=200 if given else 400,
        given=given,
        wishes=wishes,
        crops=[*wishes.crops, *[None] * 2],
        diseases=[(one, one in wishes.intervals, one in read_diseases()) for one in DISEASES],
        depth_in=wishes.yards_per_ac / sketches.YARDS_AN_INCH,
        lines=present_lines(desk, grounds, present),
        years=year_sums(grounds, wishes, whole) if grounds and covered else (),
        broken=broken_words(desk, grounds, breaches(grounds, wishes, whole)) if grounds and covered else [],
        last=last,
        legs=LEGS,
        fields=grounds,
    )


@page(methods=BOTH)
def sketch(request: HttpRequest, desk: Desk, sketch: UUID) -> HttpResponse:
    """Plans side by side; one of them as ribbons; a year pinned and the plan made again; one kept."""
    farm = desk.farm.id
    if request.method == "POST" and not desk.may_write:
        return told(request, "role_too_small", 403)
    found = Sketch.objects.select_related("farm").filter(farm_id=farm, id=sketch).first()
    if found is None:
        return told(request, "no_such_plan", 404)
    if request.method == "POST":
        return _acted(request, desk, found)
    return _sketch_page(request, desk, found, Given(request.POST))


def _asked(desk: Desk, wishes: Wishes, pinned: Mapping[str, Mapping[int, Use]]) -> HttpResponse:
    """Have plans made, and show where they stand."""
    made = sketches.sketched(desk.farm.id, desk.person.id, wishes, pinned, now())
    solving.begin(made)
    return HttpResponseRedirect(reverse("ahead_sketch", args=[desk.farm.id, made.id]))


def _acted(request: HttpRequest, desk: Desk, found: Sketch) -> HttpResponse:
    farm, given = desk.farm.id, Given(request.POST)
    if given.raw("do") == "keep":
        names = [one["emphasis"] for one in found.answer["plans"]]
        emphasis = given.choice("emphasis", names)
        if not given:
            return _sketch_page(request, desk, found, given)
        name = say(desk.language, f"ahead.emphasis.{emphasis}")
        count = sketches.kept(found, emphasis, name, desk.person.id, now())
        messages.info(request, say(desk.language, "ahead.kept", count=count))
        return HttpResponseRedirect(reverse("ahead_plan", args=[farm]))
    wishes = sketches.wishes_from(found.wishes)
    if given.raw("do") == "again":
        return _asked(desk, wishes, sketches.pinned_of(found))
    fields = {one.id for one in grounds_of(farm, desk.today)}
    pinned = pin_asked(given, sketches.pinned_of(found), wishes, fields)
    if not given:
        return _sketch_page(request, desk, found, given)
    return _asked(desk, wishes, pinned)


def _waiting(request: HttpRequest, desk: Desk, found: Sketch) -> HttpResponse:
    """Where the plans stand that are not made yet, or that could not be."""
    off = found.standing == "failed" or solving.broken_off(found, now())
    seconds = int((now() - found.made_at).total_seconds())
    return shown(
        request,
        desk,
        "ahead_waiting",
        sketch=found,
        off=off,
        seconds=max(0, seconds),
        steps=_steps(found.step),
    )


def _steps(now_at: str) -> list[tuple[str, str]]:
    """Each plan that is made, with whether it is *done*, under way (*now*) or to come (*later*)."""
    names = [*EMPHASES, *([solving.WHY_NOT] if now_at == solving.WHY_NOT else [])]
    at = names.index(now_at) if now_at in names else -1
    return [
        (name, "done" if place < at else ("now" if place == at else "later"))
        for place, name in enumerate(names)
    ]


def _sketch_page(request: HttpRequest, desk: Desk, found: Sketch, given: Given) -> HttpResponse:
    if found.standing != "made":
        return _waiting(request, desk, found)
    wishes = sketches.wishes_from(found.wishes)
    grounds = grounds_of(desk.farm.id, desk.today, sketches.pinned_of(found))
    plans = sketches.proposals_of(found, grounds)
    wanted = request.GET.get("show", "")
    chosen = next((one for one in plans if one.emphasis == wanted), plans[0] if plans else None)
    conflict = sketches.conflict_of(found)
    return shown(
        request,
        desk,
        "ahead_sketch",
        status=200 if given else 400,
        given=given,
        sketch=found,
        wishes=wishes,
        plans=plans,
        chosen=chosen,
        lines=plan_lines(desk, grounds, chosen.found.plan) if chosen else [],
        conflict=wish_words(desk, grounds, conflict.wishes) if conflict else [],
        proven=conflict.proven if conflict else True,
        pins=[(one, year, use) for one in grounds for year, use in sorted(one.pinned.items())],
        legs=LEGS,
        fields=grounds,
        plan_years=wishes.years,
        sums=[side_by_side(one) for one in plans],
    )
