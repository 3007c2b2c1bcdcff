"""Plans as they were asked for and what came out; the tables of fertilizer that the grower types."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

from django.db import models

from server.people.models import Farm

STANDING = [(one, one) for one in ("asked", "making", "made", "failed")]


class Sketch(models.Model):
    """A plan that was asked for: the wishes as they were filled in, the pinned years by field, and the answer:
    plans side by side, or the wishes in conflict. Until then ``standing`` says how far it is, ``step`` what is
    being made, ``moved_at`` since when. The farm's own plan is in the book, not here."""

    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    made_at = models.DateTimeField()
    made_by = models.UUIDField()
    wishes = models.JSONField(default=dict)
    pinned = models.JSONField(default=dict)
    answer = models.JSONField(default=dict)
    standing = models.CharField(max_length=6, choices=STANDING, default="made")
    step = models.CharField(max_length=20, default="", blank=True)
    moved_at = models.DateTimeField(null=True)

    class Meta:
        indexes = (models.Index(fields=("farm", "made_at"), name="sketch_made"),)

    @property
    def asked_on(self) -> date:
        """The farm's day on which it was asked for."""
        return self.made_at.astimezone(ZoneInfo(self.farm.zone)).date()

    def __str__(self) -> str:
        return str(self.id)


class FertilizerRow(models.Model):
    """A row of a table that the grower types (``shared.ahead.fertilizer_sheet``), with its source. A row is never
    changed and never deleted: it is ended, and where it was corrected the next one names it."""

    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    table = models.CharField(max_length=10)
    values = models.JSONField()
    made_at = models.DateTimeField()
    made_by = models.UUIDField()
    corrects = models.UUIDField(null=True)
    ended_at = models.DateTimeField(null=True)
    ended_by = models.UUIDField(null=True)
    ended_why = models.CharField(max_length=200, default="", blank=True)

    class Meta:
        indexes = (models.Index(fields=("farm", "table"), name="fertilizer_table"),)

    def __str__(self) -> str:
        return f"{self.table} {self.id}"
