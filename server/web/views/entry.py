"""An entry, or a whole round, opened: what it says, why it is unusual, and the manager's mark on it."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from server.book import reads as book
from server.people import reads as people
from server.people.clock import now
from server.photos import reads as photo_store
from server.reading import queries, reads, writes
from server.reading.reads import Read
from server.web.desk import Desk, page, shown, told
from server.web.entries import names_of, told_all
from server.web.given import Given
from server.web.questions import asked
from server.web.stories import stories
from server.web.views.evening_reading import is_uuid, to_day
from server.web.views.mend import NOT_MENDED
from shared.errors import GoodgroundError
from shared.languages import say
from shared.words.bodies.reading import Query

MOST_ANSWER = 1_000


class SayWhat(GoodgroundError):
    """An answer without words."""

    code = "say_what"


STOCK_QUESTIONS = (
    "which_field",
    "right_figure",
    "which_truck",
    "where_did_it_go",
    "send_photo",
    "who_did_it",
)


@page()
def entry(request: HttpRequest, desk: Desk, entry: UUID) -> HttpResponse:
    """One entry opened: what it says, where, by which sheets, what was changed and by whom, its raw text."""
    read = reads.of_entry(desk.farm, entry, desk.now)
    if read is None:
        return told(request, "no_such_entry", 404)
    names = names_of(desk)
    (one,) = told_all(desk, (read,), names)
    naming = [row for row in book.naming(desk.farm.id, [entry]) if row.entry and row.kind != "query"]
    about = reads.all_read(desk.farm, naming)
    return shown(
        request,
        desk,
        "entry",
        one=one,
        about=told_all(desk, about, names),
        asked=asked(desk, [entry], open_too=False),
        names_other=_named(desk, read),
        initials=_initials(desk, [read]).get(entry),
        photos=_photos(desk, read),
        erased=book.is_erased(read.row),
        raw=bytes(read.row.raw or b"").decode("utf-8", "backslashreplace"),
        questions=STOCK_QUESTIONS,
        mendable=read.entry is not None and not read.struck and read.entry.kind not in NOT_MENDED,
        day=read.row.day,
    )


@page()
def walked_round(request: HttpRequest, desk: Desk, round: UUID) -> HttpResponse:
    """A round opened: what it comes to, and each of its stops."""
    rows = list(book.looked_up(desk.farm.id).filter(round=round).exclude(entry=None).order_by("number"))
    if not rows:
        return told(request, "no_such_entry", 404)
    read = reads.all_read(desk.farm, rows, reads.against(desk.farm, rows, desk.now))
    listed = told_all(desk, read)
    walked = [one for one in stories(desk, listed) if one.round == round]
    if not walked:
        return HttpResponseRedirect(reverse("entry", args=[desk.farm.id, rows[0].entry]))
    return shown(request, desk, "round", story=walked[0], day=rows[0].day)


@page(people.DESK_ROLES, methods=("POST",))
def initial_opened(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Initial what stood open on the page: each entry with the turn at which it was seen."""
    seen = {}
    for pair in request.POST.getlist("seen"):
        entry, _, turn = pair.partition(":")
        if is_uuid(entry) and turn.isdecimal():
            seen[UUID(entry)] = int(turn)
    try:
        writes.initial(desk.farm, desk.person.id, seen, now())
    except GoodgroundError as error:
        return _refused(request, desk, error, next(iter(seen), None))
    messages.info(request, say(desk.language, "reading.opened_and_initialled", count=len(seen)))
    first = book.of_entry(desk.farm.id, next(iter(seen)))
    return to_day(desk, first.day if first else None)


@page(people.DESK_ROLES, methods=("POST",))
def mark(request: HttpRequest, desk: Desk, entry: UUID) -> HttpResponse:
    """Take as it is, put by, or ask about the entry that is open."""
    what, why = request.POST.get("mark", ""), request.POST.get("why", "").strip()
    turn = int(text) if (text := request.POST.get("turn", "")).isdecimal() else 0
    try:
        _mark(desk, entry, turn, what, why, request.POST.get("ask", ""))
    except GoodgroundError as error:
        return _refused(request, desk, error, entry)
    messages.info(request, say(desk.language, f"reading.done.{what}"))
    row = book.of_entry(desk.farm.id, entry)
    return to_day(desk, row.day if row else None)


def _mark(desk: Desk, entry: UUID, turn: int, what: str, why: str, ask: str) -> None:
    if what == "taken_as_is":
        writes.take_as_is(desk.farm, desk.person.id, entry, turn, why, now())
    elif what == "put_by":
        writes.put_by(desk.farm, desk.person.id, entry, turn, why, now())
    elif what == "query":
        asked = Query(ask if ask in STOCK_QUESTIONS else None, why or None)
        writes.query(desk.farm, desk.person.id, entry, turn, asked, now())
    else:
        raise writes.NoSuchMark


@page(people.DESK_ROLES, methods=("POST",))
def answer(request: HttpRequest, desk: Desk, entry: UUID) -> HttpResponse:
    """What somebody answered to a query by word of mouth, written down; ``entry`` is what the query is about."""
    given = Given(request.POST)
    query, text = given.raw("query"), given.text("text", most=MOST_ANSWER)
    try:
        if not given:
            raise SayWhat
        queries.answer(desk.farm, desk.person.id, UUID(query) if is_uuid(query) else entry, text, now())
        messages.info(request, say(desk.language, "seal.answer_written"))
    except GoodgroundError as error:
        messages.error(request, say(desk.language, f"refusals.{error.code}.detail"))
    return HttpResponseRedirect(reverse("entry", args=[desk.farm.id, entry]))


def _refused(request: HttpRequest, desk: Desk, error: GoodgroundError, entry: UUID | None) -> HttpResponse:
    """Told on the entry's own page, where everything that was written since stands too."""
    code = "say_why" if error.code == "unsound" else error.code
    if entry is None or book.of_entry(desk.farm.id, entry) is None:
        return told(request, "no_such_entry", 404)
    messages.error(request, say(desk.language, f"refusals.{code}.detail"))
    return HttpResponseRedirect(reverse("entry", args=[desk.farm.id, entry]))


def _photos(desk: Desk, read: Read) -> list[tuple[str, bool]]:
    """The photos that an entry names, each with whether it has come."""
    named = [one.sha256 for one in read.entry.photos] if read.entry is not None else []
    come = photo_store.here(desk.farm.id, named) if named else {}
    return [(sha, sha in come) for sha in named]


@page()
def photo(request: HttpRequest, desk: Desk, sha256: str) -> HttpResponse | FileResponse:
    """A photo of the farm's own, as it came; the browser is told to take it for nothing else."""
    found = photo_store.file(desk.farm.id, sha256)
    if found is None:
        return told(request, "no_such_photo", 404)
    answer = FileResponse(found[0].open("rb"), content_type=found[1])
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox"
    answer["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer


def _named(desk: Desk, read: Read) -> list:  # type: ignore[type-arg]
    """The entry that this one speaks of."""
    if read.row.names is None:
        return []
    row = book.of_entry(desk.farm.id, read.row.names)
    return told_all(desk, reads.all_read(desk.farm, [row])) if row is not None else []


def _initials(desk: Desk, read: list[Read]) -> dict[UUID, dict[str, object]]:
    """Who initialled, when, and whether it was opened, by entry."""
    names = {one.id: one.name for one in people.people(desk.farm.id, retired=True)}
    marks = reads.initials(desk.farm, [one.id for one in read if one.id is not None])
    return {
        entry: {"by": names.get(one.by, ""), "at": one.at, "opened": one.opened}
        for entry, one in marks.items()
    }
