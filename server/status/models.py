"""What follows from the book, kept as rows that one command can always make again."""

from __future__ import annotations

from dataclasses import fields
from uuid import UUID

from django.db import models

from server.people.models import Farm, Phone, Reference
from shared.wire.scalars import moment, written_moment
from shared.words.due import Due as DueValue
from shared.words.verdict import Asked as AskedValue
from shared.words.verdict import Verdict as VerdictValue


class FieldYear(models.Model):
    """A field's facts of one calendar year, gathered: what its status is made of, and a push is merged into."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    field = models.UUIDField()
    year = models.IntegerField()
    gathered = models.JSONField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "field", "year"), name="field_year_once"),)


class Rebuilding(models.Model):
    """How far the making again of a farm's rows is, so that one which was ended goes on: the stage, and the book number
    or the field up to which that is done. ``number`` is how far the book reached when it began."""

    farm = models.OneToOneField(Farm, models.CASCADE, primary_key=True)
    stage = models.CharField(max_length=8)
    done = models.BigIntegerField(default=0)
    field = models.UUIDField(null=True)
    number = models.BigIntegerField()


class Touch(models.Model):
    """Ground other than its own field that a row of the book speaks of: where a load went, a part, a pile."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    place = models.UUIDField()
    row = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "place", "row"), name="touch_once"),)


class Standing(Reference):
    """How a field, or a pile, stands: ``standing`` is the plain object that phones pull."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    field = models.UUIDField()
    what = models.CharField(max_length=5, default="field")
    standing = models.JSONField(default=dict)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "field"), name="standing_once"),)
        indexes = (models.Index(fields=("farm", "turn"), name="standing_turn"),)


class Due(Reference):
    """A job that a field needs. ``ref`` stays the same for the same need."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    ref = models.TextField()
    job = models.TextField()
    field = models.UUIDField(null=True)
    part = models.UUIDField(null=True)
    earliest = models.DateField(null=True)
    best = models.DateField(null=True)
    last = models.DateField(null=True)
    why = models.TextField()
    facts = models.JSONField(default=dict)
    person = models.UUIDField(null=True)
    on = models.DateField(null=True)
    place = models.BigIntegerField(null=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "ref"), name="due_once"),)
        indexes = (models.Index(fields=("farm", "turn"), name="due_turn"),)

    @classmethod
    def of(cls, farm: UUID, value: DueValue) -> Due:
        columns = {one.name: getattr(value, one.name) for one in fields(value) if one.name != "id"}
        return cls(farm_id=farm, ref=value.id, **columns | {"facts": dict(value.facts)})

    def value(self) -> DueValue:
        return DueValue(
            self.ref,
            self.job,  # type: ignore[arg-type]
            self.field,
            self.part,
            self.earliest,
            self.best,
            self.last,
            self.why,
            self.facts,
            self.person,
            self.on,
            self.place,
        )


class Verdict(Reference):
    """How an entry stands at the desk, where that is more than *unread*: one row for each entry that is held
    or that somebody spoke of. ``findings`` are the codes of what was noticed about it."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    phone = models.ForeignKey(Phone, models.CASCADE, db_index=False)
    entry = models.UUIDField()
    number = models.BigIntegerField()
    mark = models.CharField(max_length=12)
    outcome = models.CharField(max_length=7)
    code = models.CharField(max_length=40, null=True)
    struck = models.BooleanField(default=False)
    corrected_by = models.UUIDField(null=True)
    findings = models.JSONField(default=list)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "entry"), name="verdict_once"),)
        indexes = (models.Index(fields=("phone", "turn"), name="verdict_turn"),)

    def value(self) -> VerdictValue:
        return VerdictValue(
            self.entry,
            self.number,
            self.mark,  # type: ignore[arg-type]
            self.outcome,
            self.code,
            self.struck,
            self.corrected_by,
        )


class Marking(models.Model):
    """A reading that marks an entry: so that what a struck reading had marked is found again."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    entry = models.UUIDField()
    reading = models.UUIDField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "entry", "reading"), name="marking_once"),)
        indexes = (models.Index(fields=("farm", "reading"), name="marking_reading"),)


class Pictured(models.Model):
    """A photo that an entry names, whether it has come or not. ``row`` is the entry's number."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    sha256 = models.CharField(max_length=64)
    entry = models.UUIDField()
    row = models.BigIntegerField()
    size = models.BigIntegerField()
    type = models.CharField(max_length=10)
    arrived_at = models.DateTimeField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "sha256", "entry"), name="pictured_once"),)
        indexes = (models.Index(fields=("farm", "entry"), name="pictured_entry"),)


class Asked(Reference):
    """A query to whoever made an entry. ``id`` is the query entry's."""

    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    about = models.UUIDField()
    to = models.UUIDField()
    ask = models.TextField(null=True)
    text = models.TextField(null=True)
    asked_at = models.DateTimeField()
    answered = models.BooleanField(default=False)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="asked_turn"),)

    def value(self) -> AskedValue:
        asked_at = moment(written_moment(self.asked_at), "asked_at")
        return AskedValue(self.id, self.about, self.to, self.ask, self.text, asked_at, self.answered)
