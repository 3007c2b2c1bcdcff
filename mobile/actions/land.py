"""The phone's own copy of the land, the towns and the trucks, as values."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from mobile.ports import Phone
from shared.words.due import Due
from shared.words.field import Buffer, Field, Part, Pile
from shared.words.town import Hauler, Town, Vehicle


def fields(phone: Phone, enrolment: int) -> tuple[Field, ...]:
    """The fields in use, by name."""
    return _in_use(phone, enrolment, "fields")


def field(phone: Phone, enrolment: int, id: UUID) -> Field | None:
    return next((one for one in phone.book.values(enrolment, "fields") if one.id == id), None)


def parts(phone: Phone, enrolment: int, field: UUID) -> tuple[Part, ...]:
    return tuple(one for one in _in_use(phone, enrolment, "parts") if one.field == field)


def piles(phone: Phone, enrolment: int) -> tuple[Pile, ...]:
    return _in_use(phone, enrolment, "piles")


def buffers(phone: Phone, enrolment: int) -> tuple[Buffer, ...]:
    return _in_use(phone, enrolment, "buffers")


def towns(phone: Phone, enrolment: int) -> tuple[Town, ...]:
    return _in_use(phone, enrolment, "towns")


def haulers(phone: Phone, enrolment: int) -> tuple[Hauler, ...]:
    return _in_use(phone, enrolment, "haulers")


def vehicles(phone: Phone, enrolment: int) -> tuple[Vehicle, ...]:
    return _in_use(phone, enrolment, "vehicles")


def dues(phone: Phone, enrolment: int) -> tuple[Due, ...]:
    """The next jobs as pulled: those put to a person first, then by their last day."""
    every: tuple[Due, ...] = phone.book.values(enrolment, "dues")
    return tuple(sorted(every, key=_due_order))


def _due_order(due: Due) -> tuple[bool, bool, str, str]:
    return (due.person is None, due.last is None, str(due.last or ""), due.id)


def _in_use(phone: Phone, enrolment: int, kind: str) -> tuple[Any, ...]:
    named = [one for one in phone.book.values(enrolment, kind) if not one.retired]
    return tuple(sorted(named, key=_name))


def _name(one: Any) -> str:
    return str(one.label if isinstance(one, Vehicle) else one.name)
