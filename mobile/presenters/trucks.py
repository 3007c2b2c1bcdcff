"""The trucks at the gate, each in its fixed place: the farm's, and those that this phone saw first."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.land import vehicles
from mobile.presenters.session import Session
from shared.status.fact import Fact
from shared.words.town import Vehicle

SETTING = "trucks"


@dataclass(frozen=True, slots=True)
class TruckHere:
    """``key`` is the vehicle's id, or for a truck that only this phone knows its label. ``loads`` are today's."""

    key: str
    label: str
    town: UUID
    bed_yd3: Decimal
    packing: str
    vehicle: Vehicle | None
    loads: tuple[Fact, ...] = ()

    @property
    def last(self) -> Fact | None:
        return self.loads[-1] if self.loads else None

    @property
    def is_turned_back(self) -> bool:
        body: Any = self.last.body if self.last is not None else None
        return body is not None and not body.is_taken

    def back_at(self) -> datetime | None:
        """When it is likely back, by the mean of its rounds today; None before its second load."""
        times = [one.made_at.utc for one in self.loads if one.made_at.utc is not None]
        if len(times) < 2:
            return None
        mean: timedelta = (times[-1] - times[0]) / (len(times) - 1)
        return times[-1] + mean


def trucks_here(session: Session, today: Sequence[Fact], before: Sequence[Fact]) -> tuple[TruckHere, ...]:
    """Those that came the gate day before first, by town and label, then the others: the same all day long."""
    known = [_known(one) for one in vehicles(session.phone, session.enrolment)] + own_trucks(session)
    came = {key_of(one) for one in before}
    ordered = sorted(known, key=lambda one: (one.key not in came, str(one.town), one.label))
    return tuple(
        TruckHere(
            one.key, one.label, one.town, one.bed_yd3, one.packing, one.vehicle,
            tuple(load for load in today if key_of(load) == one.key),
        )
        for one in ordered
    )  # fmt: skip


def key_of(load: Fact) -> str:
    body: Any = load.body
    return str(body.vehicle) if body.vehicle is not None else str(body.plate or "")


def _known(vehicle: Vehicle) -> TruckHere:
    return TruckHere(str(vehicle.id), vehicle.label, vehicle.town, vehicle.bed_yd3, vehicle.packing, vehicle)


def own_trucks(session: Session) -> list[TruckHere]:
    kept: list[dict[str, str]] = json.loads(session.phone.book.setting(_setting(session)) or "[]")
    return [
        TruckHere(one["label"], one["label"], UUID(one["town"]), Decimal(one["bed"]), one["packing"], None)
        for one in kept
    ]


def keep_truck(session: Session, label: str, town: UUID, bed_yd3: Decimal, packing: str) -> None:
    """A truck that the farm's list does not have: this phone keeps its place; the loads carry its name as plate."""
    kept = json.loads(session.phone.book.setting(_setting(session)) or "[]")
    kept = [one for one in kept if one["label"] != label]
    kept.append({"label": label, "town": str(town), "bed": format(bed_yd3, "f"), "packing": packing})
    session.phone.book.keep_setting(_setting(session), json.dumps(kept))


def _setting(session: Session) -> str:
    return f"{SETTING}.{session.enrolment}"


def likeliest(trucks: Sequence[TruckHere]) -> str:
    """The key of the one that is likeliest next: the first due back by its own rounds, else the one longest away."""
    away = [one for one in trucks if one.last is not None]
    if len(away) < 2:
        return ""

    def due(one: TruckHere) -> datetime:
        last = one.last
        assert last is not None
        made = last.made_at.utc
        assert made is not None
        return one.back_at() or made + timedelta(hours=1)

    return min(away, key=due).key
