"""Making, opening and stopping the links by which an inspector reads."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Count, Max, QuerySet

from server.people.ids import new_secret
from server.people.models import Farm
from server.people.writes import sha_of
from server.registers.models import Opening, ReaderLink
from shared.errors import GoodgroundError

LONGEST = timedelta(days=366)
SHOWN = 100
"""So many openings are listed; all are kept."""


class LinkOver(GoodgroundError):
    """No such link, or its day is over, or somebody stopped it. The answer does not say which."""

    code = "link_over"


def make(farm: Farm, by: UUID, label: str, language: str, last_day: date, now: datetime) -> str:
    """A link's secret. It shows the registers through ``last_day`` by the farm's clock."""
    token = new_secret()
    after = datetime.combine(last_day + timedelta(days=1), datetime.min.time(), ZoneInfo(farm.zone))
    ReaderLink.objects.create(
        farm=farm,
        token_sha=sha_of(token),
        label=label,
        language=language,
        made_by=by,
        made_at=now,
        ends_at=after,
    )
    return token


def opened(token: str, what: str, address: str, now: datetime) -> ReaderLink:
    """The link of a secret, with the opening written down. Raises ``LinkOver``."""
    link = (
        ReaderLink.objects.select_related("farm")
        .filter(token_sha=sha_of(token), stopped_at=None, ends_at__gt=now)
        .first()
    )
    if link is None:
        raise LinkOver
    Opening.objects.create(link=link, at=now, address=address[:64], what=what[:100])
    return link


def stop(farm: UUID, link: int, now: datetime) -> bool:
    """Whether there was such a link to stop."""
    return ReaderLink.objects.filter(farm_id=farm, id=link, stopped_at=None).update(stopped_at=now) == 1


def of_farm(farm: UUID) -> QuerySet[ReaderLink]:
    """Every link, the newest first, with how often and when last it was opened."""
    found = ReaderLink.objects.filter(farm_id=farm).order_by("-made_at")
    return found.annotate(times=Count("openings"), last_at=Max("openings__at"))


def openings(link: ReaderLink) -> list[Opening]:
    """The newest times that a link was opened."""
    return list(link.openings.order_by("-at")[:SHOWN])
