"""Save what a person wrote down: one durable commit, and only then is it *saved*."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from mobile.actions.choose_person import chosen_person
from mobile.actions.ids import new_id
from mobile.ports import Clock, Draft, NewLine, OwnLine, Phone
from mobile.trouble import TooLongToSave, Unbelievable
from shared.errors import TooLarge
from shared.wire import lines
from shared.wire.scalars import moment, written_moment
from shared.wire.upgrade import NEWEST
from shared.words.bodies import KINDS, Body
from shared.words.entry import Entry, Photo
from shared.words.moment import Moment
from shared.words.place import Position
from shared.words.span import outside

KIND_OF: dict[type[Body], str] = {cls: kind for kind, cls in KINDS.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class NewEntry:
    """What a person wrote, before it is an entry. What is left out is filled in when it is saved: ``by`` with
    the person chosen, ``at`` with where the phone is (unless ``placed`` is False), ``land`` with the outline's
    version, ``sheets`` with the rule sheets in force."""

    body: Body
    field: UUID | None = None
    part: UUID | None = None
    land: int | None = None
    at: Position | None = None
    placed: bool = True
    round: UUID | None = None
    stop: int | None = None
    done_at: Moment | date | None = None
    done_by: UUID | str | None = None
    names: UUID | None = None
    by: UUID | None = None
    sheets: tuple[str, ...] | None = None
    photos: tuple[Photo, ...] = ()
    from_paper: bool = False


@dataclass(frozen=True, slots=True)
class Saved:
    """An entry that is on the disk. ``steady_ms`` and ``boot`` say when, for the ten seconds of undoing;
    ``tight`` that the disk is all but full."""

    enrolment: int
    entry: Entry
    line: int
    sha: str
    boot: UUID
    steady_ms: int
    tight: bool


def save_entry(phone: Phone, enrolment: int, new: NewEntry) -> Saved:
    """One entry. Raises ``Unbelievable``, ``TooLongToSave``, ``NobodyChosen`` or a ``BookTrouble``: nothing was
    stored then, and nothing may be shown as saved."""
    return save_entries(phone, enrolment, [new])[0]


def save_entries(
    phone: Phone, enrolment: int, several: Sequence[NewEntry], draft: Draft | None = None
) -> tuple[Saved, ...]:
    """Several entries of one tap, and how a round stands after them, all or none (as ``save_entry``)."""
    for new in several:
        refuse_unbelievable(new.body)
    entries = [_entry(phone, enrolment, new) for new in several]
    stored = phone.book.save(enrolment, [_new_line(one) for one in entries], draft)
    return tuple(_saved(phone, enrolment, one, line) for one, line in zip(entries, stored, strict=True))


def refuse_unbelievable(body: Body) -> None:
    """Raise ``Unbelievable`` for the first figure of a body that is outside its span."""
    for one in outside(body):
        raise Unbelievable(one.key, one.value, one.span.low, one.span.high, one.span.unit)


def _entry(phone: Phone, enrolment: int, new: NewEntry) -> Entry:
    kind = KIND_OF[type(new.body)]
    return Entry(
        id=new_id(phone),
        kind=kind,
        edition=NEWEST.get(kind, 1),
        made_at=made_now(phone.clock),
        boot=phone.clock.boot,
        mono_ms=phone.clock.steady_ms(),
        done_at=new.done_at,
        by=new.by or chosen_person(phone, enrolment),
        done_by=new.done_by,
        field=new.field,
        part=new.part,
        land=new.land if new.land is not None else _land_version(phone, enrolment, new.field),
        at=new.at or (phone.receiver.fix().position if new.placed else None),
        round=new.round,
        stop=new.stop,
        body=new.body,
        names=new.names,
        sheets=_sheets_in_force(phone, enrolment) if new.sheets is None else new.sheets,
        from_paper=new.from_paper,
        photos=new.photos,
    )


def made_now(clock: Clock) -> Moment:
    """The wall clock as the person sees it, with its offset."""
    return moment(written_moment(clock.now()), "made_at")


def _land_version(phone: Phone, enrolment: int, field: UUID | None) -> int | None:
    return next((one.version for one in phone.book.values(enrolment, "fields") if one.id == field), None)


def _sheets_in_force(phone: Phone, enrolment: int) -> tuple[str, ...]:
    return tuple(one.id for one in phone.book.values(enrolment, "sheets") if one.in_force)


def _new_line(entry: Entry) -> NewLine:
    try:
        raw = lines.encode(entry)
    except TooLarge as error:
        raise TooLongToSave(error.size, error.most) from None
    made_s = int(entry.made_at.utc.timestamp()) if entry.made_at.utc else 0
    return NewLine(entry.id, entry.kind, entry.field, entry.round, made_s, raw, entry.photos, entry.names)


def _saved(phone: Phone, enrolment: int, entry: Entry, stored: OwnLine) -> Saved:
    return Saved(
        enrolment=enrolment,
        entry=entry,
        line=stored.line,
        sha=stored.sha,
        boot=phone.clock.boot,
        steady_ms=phone.clock.steady_ms(),
        tight=phone.book.is_tight(),
    )
