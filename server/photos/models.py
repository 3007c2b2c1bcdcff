"""A photo that has come whole, and one that is on its way."""

from __future__ import annotations

from django.db import models

from server.people.models import Farm, Phone


class Photo(models.Model):
    """A photo in its place: a file named by its SHA-256 in the farm's folder."""

    farm = models.ForeignKey(Farm, models.PROTECT, db_index=False)
    sha256 = models.CharField(max_length=64)
    size = models.IntegerField()
    type = models.CharField(max_length=10)
    phone = models.ForeignKey(Phone, models.PROTECT)
    stored_at = models.DateTimeField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "sha256"), name="photo_once"),)


class Upload(models.Model):
    """A photo of which ``offset`` bytes of ``size`` have come."""

    farm = models.ForeignKey(Farm, models.PROTECT, db_index=False)
    sha256 = models.CharField(max_length=64)
    size = models.IntegerField()
    offset = models.IntegerField(default=0)
    phone = models.ForeignKey(Phone, models.PROTECT)
    made_at = models.DateTimeField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "sha256"), name="upload_once"),)
