"""Writing at the desk: which kind, then its form; sent, it is an entry marked as written afterwards, from paper."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import urlencode

from server.book import reads as book
from server.intake.desk import write_one
from server.people import reads as people
from server.people.clock import now
from server.people.ids import new_id
from server.status import reads as status
from server.web import body_form, writing
from server.web.body_form import Ask
from server.web.desk import Desk, page, shown, told
from server.web.given import Given
from server.web.views.mend import places_of, problem_of
from server.web.writing import Envelope
from shared.errors import GoodgroundError, Unsound
from shared.languages import say
from shared.status.due import due_words
from shared.words.bodies import Body

KEPT = ("ground", "on", "at", "who", "other_who", "from_paper")
"""What the next stop's form starts with."""
WHOLE_FORM = 40 * 1024 * 1024


@page(people.DESK_ROLES)
def write(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The kinds that can be written at the desk."""
    return shown(request, desk, "write", groups=writing.GROUPS)


@page(people.DESK_ROLES, methods=("GET", "HEAD", "POST"))
def write_kind(request: HttpRequest, desk: Desk, kind: str) -> HttpResponse:
    """One kind's form, and what it says put in the book."""
    cls = writing.kind_named(kind)
    if cls is None:
        return told(request, "no_such_kind", 404)
    given = Given(request.POST)
    asks = [one for one in body_form.blank(desk.language, cls, lambda key: _places(desk, key)) if _asked(one)]
    problem = ""
    if request.method == "POST":
        try:
            around = writing.envelope(desk, kind, given)
            if around is not None:
                body = body_form.new_body(cls, request.POST, asks, desk.zone)
                return _written(request, desk, kind, around, body)
        except Unsound as error:
            problem = problem_of(desk, error)
        except GoodgroundError as error:
            problem = say(desk.language, f"refusals.{error.code}.detail", **error.facts())
        asks = body_form.refilled(asks, request.POST)
    status = 400 if problem or not given else 200
    return shown(
        request, desk, "write_kind", status=status, **_facts(request, desk, kind, asks, given, problem)
    )


def _asked(ask: Ask) -> bool:
    """The scale of cover classes is the only one there is: it is not asked."""
    return ask.name != "scale"


def _places(desk: Desk, key: str) -> list[tuple[object, str]]:
    match key:
        case "people":
            return [(one.id, one.name) for one in people.people(desk.farm.id)]
        case "from":
            return [(one, name) for one, name in places_of(desk, "to")]
        case "due":
            return [(one.id, _due(desk, one)) for one in status.dues(desk.farm.id)]
        case _:
            return list(places_of(desk, key))


def _due(desk: Desk, one: object) -> str:
    words = due_words(one, desk.language)  # type: ignore[arg-type]
    return f"{words.job}: {words.why}"[:120]


def _written(request: HttpRequest, desk: Desk, kind: str, around: Envelope, body: Body) -> HttpResponse:
    if book.of_entry(desk.farm.id, around.id) is not None:
        raise writing.WrittenAlready
    at = now()
    taken = writing.photos_of(desk, request.FILES.getlist("photo"), at)
    write_one(desk.farm.id, desk.person.id, around.draft(body, taken), at)
    messages.info(
        request, say(desk.language, "writing.done", kind=say(desk.language, f"entries.kind.{kind}"))
    )
    if request.POST.get("then") == "next" and around.round is not None:
        told_on = {key: request.POST.get(key, "") for key in KEPT}
        told_on |= {"round": str(around.round), "stop": str((around.stop or 0) + 1)}
        return HttpResponseRedirect(f"{request.path}?{urlencode(told_on)}")
    return HttpResponseRedirect(reverse("entry", args=[desk.farm.id, around.id]))


def _facts(
    request: HttpRequest, desk: Desk, kind: str, asks: list[Ask], given: Given, problem: str
) -> dict[str, object]:
    """What the form shows: what was typed where it comes back, else what the stop before it said."""
    at = now()
    # A form that was sent before and is written already must not keep its id: else it could never be sent again.
    own = given.raw("id") if given.form and not _known(desk, given.raw("id")) else str(new_id(at))
    start = given if given.form else Given(request.GET)
    return {
        "kind": kind,
        "asks": asks,
        "given": given,
        "start": start,
        "problem": problem,
        "own": own,
        "round": start.raw("round") or str(new_id(at)),
        "stop": start.raw("stop") or "1",
        "is_round": kind in writing.ROUNDS,
        "grounds": [(str(id), name) for id, (_, _, name) in writing.grounds(desk).items()],
        "hands": people.people(desk.farm.id),
        "from_paper": start.raw("from_paper") == "on" or not start.form,
        "wants_field": kind not in writing.NEEDS_NO_FIELD,
    }


def _known(desk: Desk, text: str) -> bool:
    try:
        return book.of_entry(desk.farm.id, UUID(text)) is not None
    except ValueError:
        return True
