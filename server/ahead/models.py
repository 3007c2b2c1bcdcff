"""Plans as they were asked for and what came out."""

from __future__ import annotations

from django.db import models

from server.people.models import Farm


class Sketch(models.Model):
    """A plan that was asked for: the wishes as they were filled in, the pinned years by field, and the answer:
    plans side by side, or the wishes in conflict. The farm's own plan is in the book, not here."""

    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    made_at = models.DateTimeField()
    made_by = models.UUIDField()
    wishes = models.JSONField(default=dict)
    pinned = models.JSONField(default=dict)
    answer = models.JSONField(default=dict)

    class Meta:
        indexes = (models.Index(fields=("farm", "made_at"), name="sketch_made"),)

    def __str__(self) -> str:
        return str(self.id)
