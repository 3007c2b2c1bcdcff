"""What is written at the desk, as a form says it: an entry of any kind that a person notes down, with who had it on
paper, when it was, and a photo of the paper."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile

from server.intake.desk import Draft
from server.land import reads as land
from server.people import reads as people
from server.photos import writes as photos
from server.web.desk import Desk
from server.web.given import Given
from shared.errors import GoodgroundError
from shared.wire.scalars import moment
from shared.words.bodies import KINDS, Body
from shared.words.entry import Photo
from shared.words.moment import Moment

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("walked", ("cover", "weeds", "firmness", "spade", "leaf_depth", "ground")),
    ("gate", ("load", "agreed_count", "pile_check")),
    ("done", ("work", "calibrate", "put_off")),
    ("told", ("occurrence", "note", "weather", "sample")),
    ("papers", ("document",)),
)
"""The kinds that are written down by hand, as the page lists them; the others have pages of their own."""
WRITTEN = frozenset(kind for _, kinds in GROUPS for kind in kinds)
ROUNDS = ("cover", "weeds", "firmness", "leaf_depth")
"""Kinds of which a round has several stops."""
NEEDS_NO_FIELD = ("load", "agreed_count", "weather", "calibrate", "put_off", "document")


@dataclass(frozen=True, slots=True)
class Envelope:
    """What stands around the body. ``id`` is the form's own: sent twice it is written once."""

    id: UUID
    field: UUID | None
    part: UUID | None
    done_at: Moment | date | None
    done_by: UUID | str | None
    from_paper: bool
    round: UUID | None
    stop: int | None

    def draft(self, body: Body, taken: Iterable[Photo] = ()) -> Draft:
        return Draft(
            body,
            field=self.field,
            part=self.part,
            done_at=self.done_at,
            done_by=self.done_by,
            round=self.round,
            stop=self.stop,
            from_paper=self.from_paper,
            photos=tuple(taken),
            id=self.id,
        )


def kind_named(kind: str) -> type[Body] | None:
    """The body of a kind that is written by hand."""
    return KINDS[kind] if kind in WRITTEN else None


def grounds(desk: Desk) -> Mapping[UUID, tuple[UUID, UUID | None, str]]:
    """Fields and their parts: the field, the part (None for the whole), and what it is called."""
    fields = {one.id: one.name for one in land.fields(desk.farm.id)}
    out: dict[UUID, tuple[UUID, UUID | None, str]] = {id: (id, None, name) for id, name in fields.items()}
    for part in land.parts(desk.farm.id):
        if part.field in fields:
            out[part.id] = (part.field, part.id, f"{fields[part.field]}, {part.name}")
    return out


def envelope(desk: Desk, kind: str, given: Given) -> Envelope | None:
    """What the form says around the body; None where it can't be used."""
    places = grounds(desk)
    ground = given.id("ground", places, needed=False)
    field, part, _ = places[ground] if ground is not None else (None, None, "")
    hands = {one.id for one in people.people(desk.farm.id, retired=True)}
    who, other = given.id("who", hands, needed=False), given.text("other_who", needed=False)
    done_at = _when(desk, given)
    round, stop = _uuid(given.raw("round")), given.raw("stop")
    own = _uuid(given.raw("id"))
    if own is None:
        given.fault("id", "choice")
    if not given or own is None:
        return None
    return Envelope(
        own, field, part, done_at, who or other or None, given.ticked("from_paper"),
        round if kind in ROUNDS else None,
        int(stop) if kind in ROUNDS and stop.isdecimal() and stop.isascii() and len(stop) < 4 else None,
    )  # fmt: skip


def _when(desk: Desk, given: Given) -> Moment | date | None:
    """The day, and the time where one is known; neither for what is written as it happens."""
    on, at = given.day("on", needed=given.ticked("from_paper")), given.raw("at")
    if on is None:
        return None
    if on > desk.today:
        given.fault("on", "not_yet")
    if not at:
        return on
    try:
        local = datetime.combine(on, time.fromisoformat(at), desk.zone)
    except ValueError:
        given.fault("at", "time")
        return None
    return moment(local.isoformat(timespec="seconds"), "done_at")


def _uuid(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None


def photos_of(desk: Desk, several: Iterable[UploadedFile], now: datetime) -> list[Photo]:
    """The pictures that came with a form, kept. Raises ``PhotoTooLarge``, ``NotAPicture``, ``PhotoQuota``."""
    out = []
    phone = people.desk_of(desk.farm.id)
    for one in several:
        if (one.size or 0) > photos.MOST_BYTES:
            raise photos.PhotoTooLarge(one.size or 0, photos.MOST_BYTES)
        kept = photos.put(phone, one.read(), now)
        out.append(Photo(kept.sha256, kept.size, kept.type))
    return out


class WrittenAlready(GoodgroundError):
    """This very form was sent before: what it says stands in the book once."""

    code = "written_already"
