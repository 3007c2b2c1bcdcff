"""A field as this phone knows it: the pulled status with the phone's own unpulled entries laid over it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from mobile.actions.land import field, parts, piles
from mobile.actions.own import unpulled_in_force
from mobile.ports import Phone
from shared.status.field_status import ROUNDS_KEPT, FieldStatus, TownSent, fold
from shared.status.holding import Holding, holding
from shared.status.rounds import CoverRound, DepthRound, FirmRound, WeedRound

R = TypeVar("R", CoverRound, WeedRound, FirmRound, DepthRound)


def field_now(phone: Phone, enrolment: int, id: UUID) -> FieldStatus:
    """The status on this phone at this moment. Of a round that is partly pulled only this phone's own stops since
    are told, until all of it is; a correction of something pulled shows once it is handed in."""
    return phone.book.worked_out(("field", enrolment, id), lambda: _worked_out(phone, enrolment, id))


def _worked_out(phone: Phone, enrolment: int, id: UUID) -> FieldStatus:
    land = ground_held(phone, enrolment, id)
    pulled = pulled_status(phone, enrolment, id)
    if land is None:
        return pulled
    zone = ZoneInfo(phone.book.enrolment(enrolment).farm.zone)
    return _laid_over(pulled, fold(unpulled_in_force(phone, enrolment), land, zone))


def pulled_status(phone: Phone, enrolment: int, id: UUID) -> FieldStatus:
    """As the server last told it; empty where it has told nothing yet."""
    row = phone.book.row(enrolment, "standings", str(id))
    return FieldStatus(id) if row is None else FieldStatus.from_tree(row)


def ground_held(phone: Phone, enrolment: int, id: UUID) -> Holding | None:
    """The field's ground as a fold needs it, None for a field this phone does not know."""
    ground = field(phone, enrolment, id)
    if ground is None:
        return None
    return holding(ground, parts(phone, enrolment, id), piles(phone, enrolment))


def _laid_over(pulled: FieldStatus, own: FieldStatus) -> FieldStatus:
    if not own.entries:
        return pulled
    legs = (
        tuple(sorted({*pulled.legs, *own.legs}, key=lambda one: one.starts_on)) if own.legs else pulled.legs
    )
    grounds = [one for one in (pulled.ground, own.ground) if one is not None]
    jobs = dict(pulled.last_jobs)
    for name, job in own.last_jobs.items():
        if name not in jobs or jobs[name].rank < job.rank:
            jobs[name] = job
    return replace(
        pulled,
        entries=pulled.entries + own.entries,
        legs=legs,
        cover=_newest(pulled.cover, own.cover),
        weeds=_newest(pulled.weeds, own.weeds),
        firmness=_newest(pulled.firmness, own.firmness),
        leaf_depth=_newest(pulled.leaf_depth, own.leaf_depth),
        ground=max(grounds, key=lambda one: one.when, default=None),
        laid=(*pulled.laid, *own.laid),
        worked=(*pulled.worked, *own.worked),
        towns=_towns(pulled.towns, own.towns),
        last_jobs=jobs,
        plantback=own.plantback or pulled.plantback,
        preharvest=own.preharvest or pulled.preharvest,
    )


def _towns(pulled: Sequence[TownSent], own: Sequence[TownSent]) -> tuple[TownSent, ...]:
    """Each town's loads, those not pulled yet added to those that were."""
    sums = {one.town: one for one in pulled}
    for one in own:
        so_far = sums.get(one.town)
        sums[one.town] = (
            one
            if so_far is None
            else TownSent(
                one.town,
                so_far.loads + one.loads,
                so_far.yards_yd3 + one.yards_yd3,
                max(so_far.last_on, one.last_on),
            )
        )
    return tuple(sums[town] for town in sorted(sums, key=str))


def _newest(pulled: Sequence[R], own: Sequence[R]) -> tuple[R, ...]:
    """Own rounds before pulled ones of the same day; of one round the phone's own."""
    keys = {one.key for one in own}
    every = [*own, *(one for one in pulled if one.key not in keys)]
    return tuple(sorted(every, key=lambda one: one.on, reverse=True)[:ROUNDS_KEPT])
