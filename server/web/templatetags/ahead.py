"""What the pages of *Ahead* name."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django import template

from shared.words.due import Due

register = template.Library()


@register.simple_tag
def place_name(places: Mapping[UUID, str], due: Due) -> str:
    """Where a job is: its field, else its pile; empty for a job of the whole farm."""
    return places.get(due.field or due.part, "") if due.field or due.part else ""  # type: ignore[arg-type]
