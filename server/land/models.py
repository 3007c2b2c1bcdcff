"""The land as its last version says, every version before it, the legs; and where loads come from."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.db import models

from server.people.models import Farm, Reference
from shared.wire.pull import read_row
from shared.words.farm import SheetInForce
from shared.words.field import Buffer as BufferValue
from shared.words.field import Field as FieldValue
from shared.words.field import Part as PartValue
from shared.words.field import Pile as PileValue
from shared.words.leg import Leg as LegValue
from shared.words.place import Outline
from shared.words.town import Hauler as HaulerValue
from shared.words.town import Town as TownValue
from shared.words.town import Vehicle as VehicleValue


def outline_value(tree: Any) -> Outline | None:
    """A stored outline (the JSON that travels) as rings of corners."""
    if tree is None:
        return None
    pile = {"id": "00000000-0000-7000-8000-000000000000", "name": "", "version": 1, "retired": False}
    value: PileValue = read_row("piles", pile | {"outline": tree})
    return value.outline


def shortest(value: Any) -> Decimal | None:
    """A measured value without the zeros that its column adds."""
    if value is None:
        return None
    return Decimal(format(Decimal(str(value)).normalize(), "f"))


def exact(text: str | None) -> Decimal | None:
    """A decimal of an entry: kept as it was written, since SQLite keeps numbers as floats."""
    return Decimal(text) if text is not None else None


class Drawn(Reference):
    """What fields, parts, piles and buffers have in common. ``outline`` is the JSON that travels."""

    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.PROTECT, db_index=False)
    name = models.TextField()
    version = models.BigIntegerField()
    outline = models.JSONField(null=True)
    retired = models.BooleanField(default=False)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.name


class Field(Drawn):
    area_ac = models.FloatField(null=True)
    spreadable_ac = models.FloatField(null=True)
    cap_in = models.TextField(null=True)
    organic_from = models.DateField(null=True)
    lease_end = models.DateField(null=True)
    block_lot = models.TextField(null=True)
    drainage = models.TextField(null=True)
    slope_pct = models.TextField(null=True)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="field_turn"),)

    def value(self) -> FieldValue:
        return FieldValue(
            self.id,
            self.name,
            self.version,
            outline_value(self.outline),
            self.area_ac,
            self.spreadable_ac,
            exact(self.cap_in),
            self.organic_from,
            self.lease_end,
            self.retired,
        )


class Part(Drawn):
    field = models.UUIDField()
    area_ac = models.FloatField(null=True)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="part_turn"),)

    def value(self) -> PartValue:
        return PartValue(
            self.id,
            self.field,
            self.name,
            self.version,
            outline_value(self.outline),
            self.area_ac,
            self.retired,
        )


class Pile(Drawn):
    in_field = models.UUIDField(null=True)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="pile_turn"),)

    def value(self) -> PileValue:
        outline = outline_value(self.outline)
        return PileValue(self.id, self.name, self.version, outline, self.in_field, self.retired)


class Buffer(Drawn):
    around = models.TextField()
    setback_ft = models.TextField(null=True)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="buffer_turn"),)

    def value(self) -> BufferValue:
        return BufferValue(
            self.id,
            self.name,
            self.version,
            self.around,  # type: ignore[arg-type]
            outline_value(self.outline),
            exact(self.setback_ft),
            self.retired,
        )


class Version(models.Model):
    """An outline as it stood: a verdict keeps the one in force on its day. ``row`` is its number in the book."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    what = models.CharField(max_length=6)
    subject = models.UUIDField()
    version = models.BigIntegerField()
    entry = models.UUIDField()
    row = models.BigIntegerField()
    starts_at = models.DateTimeField(null=True)
    name = models.TextField()
    why = models.TextField()
    outline = models.JSONField(null=True)
    area_ac = models.FloatField(null=True)
    before = models.JSONField(default=list)
    retired = models.BooleanField(default=False)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "entry"), name="version_entry"),)
        indexes = (models.Index(fields=("farm", "subject", "row"), name="version_subject"),)


class Leg(models.Model):
    """A field (or a part of it) in one leg from a day on."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    field = models.UUIDField()
    part = models.UUIDField(null=True)
    leg = models.CharField(max_length=8)
    starts_on = models.DateField()
    crop = models.TextField(null=True)
    why = models.TextField()
    entry = models.UUIDField()
    row = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "entry"), name="leg_entry"),)
        indexes = (models.Index(fields=("farm", "field", "starts_on"), name="leg_field"),)

    def value(self) -> LegValue:
        return LegValue(self.leg, self.starts_on, self.crop, (self.entry,), self.why)  # type: ignore[arg-type]


class Sheet(Reference):
    """A rule sheet put in force or taken out; ``sheet`` is its name and version."""

    farm = models.ForeignKey(Farm, models.CASCADE, db_index=False)
    sheet = models.TextField()
    in_force = models.BooleanField()
    starts_on = models.DateField()
    text = models.TextField(null=True)
    row = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "sheet"), name="sheet_once"),)
        indexes = (models.Index(fields=("farm", "turn"), name="sheet_turn"),)

    def value(self) -> SheetInForce:
        return SheetInForce(self.sheet, self.sheet, self.in_force, self.text)


class Town(Reference):
    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.PROTECT, db_index=False)
    name = models.CharField(max_length=200)
    organic_approved_on = models.DateField(null=True)
    season_cap_yd3 = models.DecimalField(max_digits=12, decimal_places=2, null=True)
    retired = models.BooleanField(default=False)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="town_turn"),)

    def __str__(self) -> str:
        return self.name

    def value(self) -> TownValue:
        return TownValue(
            self.id, self.name, self.organic_approved_on, shortest(self.season_cap_yd3), self.retired
        )


class Hauler(Reference):
    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.PROTECT, db_index=False)
    name = models.CharField(max_length=200)
    retired = models.BooleanField(default=False)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="hauler_turn"),)

    def value(self) -> HaulerValue:
        return HaulerValue(self.id, self.name, self.retired)


class Vehicle(Reference):
    """A truck with its bed, measured once."""

    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.PROTECT, db_index=False)
    label = models.CharField(max_length=100)
    town = models.ForeignKey(Town, models.PROTECT)
    hauler = models.ForeignKey(Hauler, models.PROTECT, null=True)
    bed_yd3 = models.DecimalField(max_digits=8, decimal_places=2)
    packing = models.CharField(max_length=9)
    plate = models.CharField(max_length=20, null=True)
    retired = models.BooleanField(default=False)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="vehicle_turn"),)

    def value(self) -> VehicleValue:
        return VehicleValue(
            self.id,
            self.label,
            self.town_id,
            shortest(self.bed_yd3) or Decimal(0),
            self.packing,
            self.hauler_id,
            self.plate,
            self.retired,
        )


class Tiles(models.Model):
    """Where the background of the farm's map comes from: none unless the farm sets it. ``address`` has {z}, {x} and
    {y} in it; ``credit`` is what the map must say of its source."""

    farm = models.OneToOneField(Farm, models.CASCADE, primary_key=True)
    address = models.TextField()
    credit = models.TextField(default="")
