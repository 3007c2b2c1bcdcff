"""Who reckons forecasts for the dues: ``ahead`` stands above the status and puts itself in here when it starts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from uuid import UUID

from shared.status.field_status import FieldStatus
from shared.status.needs.asked import Foresight

Foresees = Callable[[UUID, date, Sequence[FieldStatus]], Mapping[UUID, Foresight]]
"""Of a farm, on its today, from how these fields stand: what is foreseen for each of them that anything is of."""


def _nothing(farm: UUID, today: date, stands: Sequence[FieldStatus]) -> Mapping[UUID, Foresight]:
    return {}


_foresees: Foresees = _nothing


def foresee_with(foresees: Foresees) -> None:
    """From here on dues are made with these forecasts."""
    global _foresees
    _foresees = foresees


def foresights(farm: UUID, today: date, stands: Sequence[FieldStatus]) -> Mapping[UUID, Foresight]:
    return _foresees(farm, today, stands)
