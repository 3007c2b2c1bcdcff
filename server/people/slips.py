"""Joining: slips, tokens, and how a phone's enrolment begins (contract, W4, W4b)."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID

from server.people.ids import new_code, plain_code
from server.people.models import Slip
from server.people.writes import sha_of

SLIP_LASTS = timedelta(minutes=15)


def make_slip(farm: UUID, now: datetime) -> str:
    """A joining slip's code, for one use within 15 minutes. Only its SHA-256 is kept."""
    code = new_code()
    Slip.objects.create(
        farm_id=farm, code_sha=sha_of(plain_code(code)), made_at=now, expires_at=now + SLIP_LASTS
    )
    return code
