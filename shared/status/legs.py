"""The leg that a field is in, and has been in, as its entries tell it: a ladder from harvest to planting.

What the desk said of a leg comes first from its own day on; work after that day moves the field on again. A
step that does not fit the leg it is taken in is a finding, never an error.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal
from uuid import UUID

from shared.status.fact import Order
from shared.status.field_year import LegSaid, SentHere
from shared.status.job_done import JobDone
from shared.words.finding import Finding
from shared.words.leg import Leg, LegName

HAY = ("orchardgrass", "timothy", "clover", "alfalfa", "fescue", "brome", "hay")
SMOTHER = ("sorghum", "sudan", "millet", "buckwheat", "cowpea")
LEAD_IN = ("rye", "vetch", "oats", "barley", "triticale", "wheat", "pea")
"""How a sown crop's name tells the leg that it begins (common practice, no source). *Ryegrass* is no rye."""
HAY_JOBS = ("cut_hay", "rake", "bale")
TURNS_UNDER = ("plow", "disk")
STANDS = ("hay", "smother")
MOST_EVIDENCE = 20
"""A leg names at most so many entries as its evidence: the first ones."""

Step = Literal["said", "spread", "sent", "plant", "seed", "harvest", "hay", "turn_under"]


@dataclass(frozen=True, slots=True)
class _Event:
    """One step of the ladder. On one day what the desk said comes last, so that it wins."""

    on: date
    step: Step
    order: Order
    id: UUID | None
    part: UUID | None
    leg: LegName | None = None
    crop: str | None = None
    why: str | None = None

    @property
    def rank(self) -> tuple[date, bool, Order, str]:
        return (self.on, self.step == "said", self.order, str(self.id))


@dataclass(frozen=True, slots=True)
class OddStep:
    """A step that doesn't fit the leg it was taken in (empty: no leg is known)."""

    code: str
    on: date
    leg: str
    entry: UUID | None = None

    def finding(self, subject: str) -> Finding:
        """The same for a person to read; ``subject`` is the field's id."""
        told = (("entry", str(self.entry or "")), ("leg", self.leg), ("on", self.on))
        return Finding(self.code, subject, "reminder", cure="correct_leg_or_entry", facts=told)


@dataclass(frozen=True, slots=True)
class Ladder:
    """The legs of a field by day, oldest first, and what doesn't fit in them."""

    legs: tuple[Leg, ...]
    odd: tuple[OddStep, ...]


def sown_leg(crop: str | None) -> LegName | None:
    """The leg that sowing this crop begins: a hay grass, a smother crop, a lead-in, else a cash crop.
    None where no crop was named."""
    if not crop or not crop.strip():
        return None
    name = crop.strip().lower().replace(" ", "_").replace("-", "_")
    words = name.split("_")
    if "ryegrass" in words:
        return "hay"
    for leg, names in (("smother", SMOTHER), ("hay", HAY), ("lead_in", LEAD_IN)):
        if any(word in names for word in words):
            return leg  # type: ignore[return-value]
    return "cash"


def ladder(
    said: Iterable[LegSaid],
    jobs: Iterable[JobDone],
    sent: Iterable[SentHere],
    part: UUID | None = None,
) -> Ladder:
    """The legs of a field, or of a part of it (then what was done on the part and on the whole field
    counts)."""
    events = sorted((*_said(said), *_steps(jobs), *_sent(sent)), key=lambda one: one.rank)
    mine = [one for one in events if one.part is None or one.part == part]
    climb = _Climb()
    for event in mine:
        climb.take(event)
    return Ladder(tuple(climb.legs), tuple(climb.odd))


def _said(said: Iterable[LegSaid]) -> Iterator[_Event]:
    for one in said:
        yield _Event(one.starts_on, "said", one.order, one.id, one.part, one.leg, one.crop, one.why)


def _sent(sent: Iterable[SentHere]) -> Iterator[_Event]:
    for one in sent:
        if one.yards_yd3 > 0:
            yield _Event(one.on, "sent", (False, 0), None, one.part)


def _steps(jobs: Iterable[JobDone]) -> Iterator[_Event]:
    for one in jobs:
        step: Step | None = None
        leg: LegName | None = None
        if one.job == "seed":
            step, leg = "seed", sown_leg(one.crop)
        elif one.job == "plant":
            step, leg = "plant", sown_leg(one.crop) or "cash"
        elif one.job in ("spread", "harvest"):
            step = "spread" if one.job == "spread" else "harvest"
        elif one.job in HAY_JOBS:
            step = "hay"
        elif one.job in TURNS_UNDER:
            step = "turn_under"
        if step is not None:
            yield _Event(one.on, step, one.order, one.id, one.part, leg, one.crop)


class _Climb:
    """The ladder while it is climbed: the legs so far, and whether a planted crop still stands."""

    def __init__(self) -> None:
        self.legs: list[Leg] = []
        self.odd: list[OddStep] = []
        self.standing = False

    @property
    def now(self) -> LegName | None:
        return self.legs[-1].leg if self.legs else None

    def take(self, event: _Event) -> None:
        match event.step:
            case "said":
                self._begin(event, event.leg or "idle", event.crop)
                self.standing = event.leg == "cash"
            case "spread" | "sent":
                self._leaves(event)
            case "seed" | "plant":
                self._sown(event)
            case "harvest":
                self._harvested(event)
            case "hay":
                self._hay(event)
            case "turn_under":
                if self.now in STANDS:
                    self._begin(event, "idle", None)

    def _leaves(self, event: _Event) -> None:
        """Leaves after a cash crop begin the leaf leg; on a crop that still stands they are its mulch."""
        if self.now == "cash" and self.standing:
            return
        if self.now in STANDS:
            self._odd("leaves_on_stand", event)
        self._begin(event, "leaf", None)

    def _sown(self, event: _Event) -> None:
        if event.leg is None:
            self._odd("sown_without_name", event)
            return
        if event.leg == "cash" and self.now in STANDS:
            self._odd("planted_into_stand", event)
        self._begin(event, event.leg, event.crop, anew=event.leg == "cash" and not self.standing)
        self.standing = event.leg == "cash"

    def _harvested(self, event: _Event) -> None:
        """A harvest ends the standing crop; the leg lasts until the next step (a field is picked many
        times)."""
        if self.now != "cash":
            self._odd("harvest_without_crop", event)
        self._begin(event, "cash", event.crop if self.now != "cash" else self.legs[-1].crop)
        self.standing = False

    def _hay(self, event: _Event) -> None:
        """Hay from a smother crop or a lead-in is made now and then; off leaves or a cash crop it is odd."""
        if self.now in ("leaf", "cash"):
            self._odd("hay_without_stand", event)
        elif self.now in (None, "idle", "hay"):
            self._begin(event, "hay", event.crop)

    def _begin(self, event: _Event, leg: LegName, crop: str | None, anew: bool = False) -> None:
        """A new leg, or more evidence for the one that the field is in."""
        last = self.legs[-1] if self.legs else None
        same = last is not None and last.leg == leg and crop in (None, last.crop)
        if last is not None and same and not anew and event.step != "said":
            known = event.id is None or event.id in last.evidence
            if event.id is not None and not known and len(last.evidence) < MOST_EVIDENCE:
                self.legs[-1] = replace(last, evidence=(*last.evidence, event.id))
            return
        if last is not None and last.starts_on == event.on and event.step == "said":
            self.legs.pop()
        self.legs.append(Leg(leg, event.on, crop, (event.id,) if event.id else (), event.why))

    def _odd(self, code: str, event: _Event) -> None:
        self.odd.append(OddStep(code, event.on, self.now or "", event.id))
