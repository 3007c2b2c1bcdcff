"""A job done in a field, as a field's year keeps it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.status.fact import Fact, Order
from shared.words.bodies.work import Work


@dataclass(frozen=True, slots=True)
class JobDone:
    """One piece of work in force: what of it a status is made from. ``at`` is the time as it was written."""

    id: UUID
    job: str
    on: date
    order: Order
    at: str
    part: UUID | None = None
    area_ac: Decimal | None = None
    crop: str | None = None
    yards_yd3: Decimal | None = None
    from_: tuple[UUID, ...] | None = None
    to: UUID | None = None
    machine: str | None = None
    stubble_in: Decimal | None = None
    cutting: int | None = None
    material: str | None = None
    reentry_h: int | None = None
    preharvest_d: int | None = None
    plantback_d: int | None = None
    material_lb_per_ac: Decimal | None = None
    n_pct: Decimal | None = None
    p2o5_pct: Decimal | None = None
    k2o_pct: Decimal | None = None
    bales: int | None = None
    bale_lb: Decimal | None = None

    @property
    def rank(self) -> tuple[date, Order, str]:
        """By day, within a day by weight."""
        return (self.on, self.order, str(self.id))


def job_done(fact: Fact, body: Work, on: date, part: UUID | None) -> JobDone:
    """The work of a fact on a day, on a part of the field or (None) on the field."""
    return JobDone(
        id=fact.id,
        job=body.job,
        on=on,
        order=fact.order,
        at=fact.moment().text,
        part=part,
        area_ac=body.area_ac,
        crop=body.crop,
        yards_yd3=body.yards_yd3,
        from_=body.from_,
        to=body.to,
        machine=body.machine,
        stubble_in=body.stubble_in,
        cutting=body.cutting,
        material=body.material,
        reentry_h=body.reentry_h,
        preharvest_d=body.preharvest_d,
        plantback_d=body.plantback_d,
        material_lb_per_ac=body.material_lb_per_ac,
        n_pct=body.n_pct,
        p2o5_pct=body.p2o5_pct,
        k2o_pct=body.k2o_pct,
        bales=body.bales,
        bale_lb=body.bale_lb,
    )
