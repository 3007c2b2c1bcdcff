"""Calibration runs: what a machine lays by its setting, kept at hand for the job that it does."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from mobile.ports import Draft
from mobile.presenters.session import Session
from shared.reckoning.litter import spreader_sheet
from shared.units import LB_PER_TON
from shared.words.bodies.work import Calibrate

KEPT = "calibrations"
MOST_KEPT = 5
WHOLE_LB = Decimal(1)


@dataclass(frozen=True, slots=True)
class Calibration:
    """A machine at a setting and the pounds an acre that it lays."""

    machine: str
    setting: str
    rate: Decimal

    def told(self, session: Session) -> str:
        facts = {"machine": self.machine, "setting": self.setting, "rate": self.rate}
        return session.say("work.as_calibrated", **facts)


def rate_of(body: Calibrate) -> Decimal:
    """Pounds an acre by the mean of the runs, to the pound."""
    mean_lb = sum(body.runs, Decimal(0)) / len(body.runs)
    laid = spreader_sheet(sheet_ft2=float(body.sheet_ft2), net_lb=float(mean_lb))
    return Decimal(str(laid.tons_per_ac * LB_PER_TON.value)).quantize(WHOLE_LB)


def calibrations(session: Session) -> tuple[Calibration, ...]:
    """The last runs written on this phone, newest first, one for each machine and setting."""
    tree = session.phone.book.draft(session.enrolment, KEPT)
    kept: list[dict[str, Any]] = list(tree["runs"]) if tree is not None else []
    return tuple(Calibration(one["machine"], one["setting"], Decimal(one["rate"])) for one in kept)


def keep_calibration(session: Session, body: Calibrate) -> Calibration:
    new = Calibration(body.machine, body.setting, rate_of(body))
    others = [
        one for one in calibrations(session) if (one.machine, one.setting) != (new.machine, new.setting)
    ]
    runs = [
        {"machine": one.machine, "setting": one.setting, "rate": format(one.rate, "f")}
        for one in (new, *others)[:MOST_KEPT]
    ]
    session.phone.book.keep_draft(session.enrolment, Draft(KEPT, {"runs": runs}))
    return new
