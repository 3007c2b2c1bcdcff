"""Who is on the farm: roles, four digits, one-time sign-in links; and one's own password."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.people import reads, writes
from server.people.clock import now
from server.people.models import Person
from server.web import hands
from server.web.desk import Desk, page, shown, told
from server.web.given import Given
from shared.errors import GoodgroundError
from shared.languages import LANGUAGES, say
from shared.words.person import ROLES

OWNER = ("owner",)
BOTH = ("GET", "HEAD", "POST")


@page(OWNER, methods=BOTH)
def people(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Everybody, and a form for somebody new."""
    given = Given(request.POST)
    if request.method == "POST":
        person = hands.save(desk.farm, None, given, now())
        if person is not None:
            messages.info(request, say(desk.language, "pages.people.added", name=person.name))
            return HttpResponseRedirect(reverse("person", args=[desk.farm.id, person.id]))
    everybody = reads.people(desk.farm.id, retired=True)
    return shown(
        request,
        desk,
        "people",
        status=200 if given else 400,
        people=[one for one in everybody if not one.retired],
        gone=[one for one in everybody if one.retired],
        given=given,
        roles=ROLES,
        languages=LANGUAGES,
    )


@page(OWNER, methods=BOTH)
def person(request: HttpRequest, desk: Desk, person: UUID) -> HttpResponse:
    one = Person.objects.select_related("account", "farm").filter(farm_id=desk.farm.id, id=person).first()
    if one is None:
        return told(request, "no_such_person", 404)
    given = Given(request.POST)
    if request.method == "POST":
        try:
            if hands.save(desk.farm, one, given, now()) is not None:
                messages.info(request, say(desk.language, "pages.people.changed", name=one.name))
                return HttpResponseRedirect(request.path)
        except GoodgroundError as refused:
            messages.error(request, say(desk.language, f"refusals.{refused.code}.detail"))
            return HttpResponseRedirect(request.path)
    return _person(request, desk, one, given)


def _person(request: HttpRequest, desk: Desk, one: Person, given: Given, link: str = "") -> HttpResponse:
    return shown(
        request,
        desk,
        "person",
        status=200 if given else 400,
        person=one,
        given=given,
        roles=ROLES,
        languages=LANGUAGES,
        signs_in=one.role in hands.DESK,
        link=link,
    )


@page(OWNER, methods=("POST",))
def sign_in_link(request: HttpRequest, desk: Desk, person: UUID) -> HttpResponse:
    """A link that signs somebody in once. It is shown on this page and nowhere again."""
    one = Person.objects.select_related("account", "farm").filter(farm_id=desk.farm.id, id=person).first()
    if one is None or one.retired or one.role not in hands.DESK:
        return told(request, "no_such_person", 404)
    address = reverse("sign_in_by_link", args=[hands.link(one, now())])
    answer = _person(request, desk, one, Given(request.GET), request.build_absolute_uri(address))
    answer["Cache-Control"] = "no-store"
    return answer


@page(OWNER, methods=("POST",))
def retire(request: HttpRequest, desk: Desk, person: UUID) -> HttpResponse:
    one = Person.objects.filter(farm_id=desk.farm.id, id=person).first()
    if one is None:
        return told(request, "no_such_person", 404)
    given = Given(request.POST)
    try:
        hands.retire(one, given.turn(), given.raw("back") == "yes")
    except GoodgroundError as refused:
        messages.error(request, say(desk.language, f"refusals.{refused.code}.detail"))
    return HttpResponseRedirect(reverse("person", args=[desk.farm.id, person]))


@page(methods=BOTH)
def password(request: HttpRequest, desk: Desk) -> HttpResponse:
    """One's own password, for whoever is signed in; a forgotten one is an owner's link away."""
    given = Given(request.POST)
    if request.method == "POST":
        # A password is taken as it was typed, blanks at its ends too.
        new, again = request.POST.get("new", ""), request.POST.get("again", "")
        if len(new) < hands.SHORTEST_PASSWORD:
            given.fault("new", "short", least=hands.SHORTEST_PASSWORD)
        elif new.strip().lower() in (desk.person.name.lower(), request.user.get_username().lower()):
            given.fault("new", "is_the_name")
        elif new != again:
            given.fault("again", "differs")
        if given:
            writes.set_password(request.user, new)  # type: ignore[arg-type]
            update_session_auth_hash(request, request.user)  # type: ignore[arg-type]
            messages.info(request, say(desk.language, "pages.password.done"))
            return HttpResponseRedirect(request.path)
    return shown(request, desk, "password", status=200 if given else 400, given=given)
