"""Photos that entries name and that have not come, and photos that came and no entry names (contract, W14, W15)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Exists, OuterRef

from server.photos.models import Photo
from server.status.following import followed
from server.status.models import Pictured

LATE_AFTER = timedelta(days=7)
UNNAMED_AFTER = timedelta(days=30)


def of_entries(farm: UUID, entries: Iterable[UUID]) -> dict[UUID, list[tuple[str, bool]]]:
    """By entry, the photos that it names and whether each has come; one that has not is *on its way*."""
    followed(farm)
    came = Photo.objects.filter(farm_id=farm, sha256=OuterRef("sha256"))
    found = Pictured.objects.filter(farm_id=farm, entry__in=list(entries)).annotate(came=Exists(came))
    out: dict[UUID, list[tuple[str, bool]]] = {}
    for one in found.order_by("row", "sha256"):
        out.setdefault(one.entry, []).append((one.sha256, one.came))
    return out


def late(farm: UUID, now: datetime) -> list[Pictured]:
    """The photos of entries that arrived seven days ago and more, which still have not come: for the reading."""
    followed(farm)
    came = Photo.objects.filter(farm_id=farm, sha256=OuterRef("sha256"))
    missing = Pictured.objects.filter(~Exists(came), farm_id=farm, arrived_at__lte=now - LATE_AFTER)
    return list(missing.order_by("row", "sha256"))


def unnamed(farm: UUID, now: datetime) -> list[Photo]:
    """Photos that came thirty days ago and more and that no entry names. They are listed, never deleted."""
    followed(farm)
    named = Pictured.objects.filter(farm_id=farm, sha256=OuterRef("sha256"))
    found = Photo.objects.filter(~Exists(named), farm_id=farm, stored_at__lte=now - UNNAMED_AFTER)
    return list(found.order_by("stored_at"))
