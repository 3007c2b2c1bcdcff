"""Links by which somebody outside the farm reads its registers until a day, and each time one was opened."""

from __future__ import annotations

from django.db import models

from server.people.models import LANGUAGE, Farm


class ReaderLink(models.Model):
    """Only the SHA-256 of its secret is kept. ``ends_at`` is the first moment at which it shows nothing more."""

    farm = models.ForeignKey(Farm, models.CASCADE, related_name="reader_links")
    token_sha = models.CharField(max_length=64, unique=True)
    label = models.CharField(max_length=200)
    language = models.CharField(max_length=2, choices=LANGUAGE, default="en")
    made_by = models.UUIDField()
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    stopped_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return self.label


class Opening(models.Model):
    """One time that a link was opened: when, from where, and which page."""

    link = models.ForeignKey(ReaderLink, models.CASCADE, related_name="openings")
    at = models.DateTimeField()
    address = models.CharField(max_length=64)
    what = models.CharField(max_length=100)

    class Meta:
        indexes = (models.Index(fields=("link", "at"), name="opening_link"),)


class LaboratorySheet(models.Model):
    """How one laboratory's file is read: by the title of each column what stands in it, and its unit."""

    farm = models.ForeignKey(Farm, models.CASCADE, related_name="laboratory_sheets")
    lab = models.CharField(max_length=200)
    of = models.CharField(max_length=10)
    method = models.CharField(max_length=200)
    columns = models.JSONField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "lab", "of"), name="laboratory_sheet_once"),)

    def __str__(self) -> str:
        return f"{self.lab}, {self.of}"


class ProgramToken(models.Model):
    """A token by which a program of the farm's own reads, and writes nothing. Only its SHA-256 is kept."""

    farm = models.ForeignKey(Farm, models.CASCADE, related_name="program_tokens")
    token_sha = models.CharField(max_length=64, unique=True)
    label = models.CharField(max_length=200)
    made_by = models.UUIDField()
    made_at = models.DateTimeField()
    last_at = models.DateTimeField(null=True)
    stopped_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return self.label
