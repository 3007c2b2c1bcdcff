from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from uuid import UUID

from django.apps import AppConfig

from shared.status.field_status import FieldStatus
from shared.status.needs.asked import Foresight


class Ahead(AppConfig):
    name = "server.ahead"
    label = "ahead"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from server.status.foresight import foresee_with

        foresee_with(_of_fields)


def _of_fields(farm: UUID, today: date, stands: Sequence[FieldStatus]) -> Mapping[UUID, Foresight]:
    """Imported at the first need: numpy and scipy make no command start later that asks for no forecast."""
    from server.ahead.foresights import of_fields

    return of_fields(farm, today, stands)
