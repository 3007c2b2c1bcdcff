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


class Printing(models.Model):
    """A long register that is being set beside the server's other work, or is set and kept for whoever asked for it:
    a person of the farm, or the holder of a link. ``beat_at`` is when its maker was last heard of."""

    State = models.TextChoices("State", "waiting at_work ready failed")

    farm = models.ForeignKey(Farm, models.CASCADE, related_name="printings")
    asked_by = models.UUIDField(null=True)
    link = models.ForeignKey(ReaderLink, models.CASCADE, null=True, related_name="printings")
    register = models.CharField(max_length=40)
    field = models.UUIDField(null=True)
    first = models.DateField()
    last = models.DateField()
    language = models.CharField(max_length=2, choices=LANGUAGE)
    asked_at = models.DateTimeField()
    number = models.BigIntegerField()
    state = models.CharField(max_length=7, choices=State, default="waiting")
    beat_at = models.DateTimeField(null=True)
    tries = models.IntegerField(default=0)
    lines = models.IntegerField()
    lines_set = models.IntegerField(default=0)
    pages = models.IntegerField(default=0)
    size = models.BigIntegerField(default=0)
    kept_until = models.DateTimeField(null=True)

    class Meta:
        indexes = (models.Index(fields=("farm", "asked_at"), name="printing_farm"),)

    def __str__(self) -> str:
        return f"{self.register}, {self.first} to {self.last}"
