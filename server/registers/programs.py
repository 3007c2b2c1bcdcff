"""Tokens by which programs read: made, used, stopped."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID

from server.people.errors import PhoneStopped, TokenUnknown
from server.people.ids import new_secret
from server.people.models import Farm
from server.people.writes import sha_of
from server.registers.models import ProgramToken

HEARD_AGAIN = timedelta(minutes=10)
BEGINS = "gg_read_"
"""So that somebody who finds one knows what it is, and no phone's token is taken for one."""


def make(farm: Farm, by: UUID, label: str, now: datetime) -> str:
    """A token, shown once."""
    token = BEGINS + new_secret()
    ProgramToken.objects.create(farm=farm, token_sha=sha_of(token), label=label, made_by=by, made_at=now)
    return token


def program_of(token: str, now: datetime) -> ProgramToken:
    """The program of a token, with its farm. Raises ``TokenUnknown``, ``PhoneStopped``."""
    found = ProgramToken.objects.select_related("farm").filter(token_sha=sha_of(token)).first()
    if found is None:
        raise TokenUnknown
    if found.stopped_at is not None:
        raise PhoneStopped
    if found.last_at is None or now - found.last_at > HEARD_AGAIN:
        ProgramToken.objects.filter(id=found.id).update(last_at=now)
    return found


def stop(farm: UUID, token: int, now: datetime) -> bool:
    """Whether there was such a token to stop."""
    return ProgramToken.objects.filter(farm_id=farm, id=token, stopped_at=None).update(stopped_at=now) == 1


def of_farm(farm: UUID) -> list[ProgramToken]:
    return list(ProgramToken.objects.filter(farm_id=farm).order_by("-made_at"))
