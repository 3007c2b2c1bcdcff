"""Put a due off: it can't be done today, and why."""

from __future__ import annotations

from typing import Literal

from mobile.actions.save_entry import NewEntry, Saved, save_entry
from mobile.ports import Phone
from shared.words.bodies.told import PutOff
from shared.words.due import Due

WhyNot = Literal["wet", "broken", "other"]


def put_off(phone: Phone, enrolment: int, due: Due, why: WhyNot, other_text: str | None = None) -> Saved:
    """Raises as ``save_entry`` does."""
    body = PutOff(due=due.id, why=why, other_text=other_text)
    return save_entry(phone, enrolment, NewEntry(body=body, field=due.field, part=due.part))
