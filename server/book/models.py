"""The farm's whole ledger, in the order in which the server took it, which is the receipt of every line that came."""

from __future__ import annotations

from django.db import models

from server.people.models import Farm, Phone

OUTCOME = models.TextChoices("OUTCOME", "kept held refused already")


class Row(models.Model):
    """One line of the book. ``raw`` are the exact bytes.

    ``head`` is its phone's after this line, so that the row is the line's receipt too; None where it came apart from
    the phone's own sequence. ``entry`` is the entry's id, or the handle of a held one whose id can't be used; None
    where refused, and where it was held and then read again under another number, whose ``again_of`` says so.

    ``kind`` to ``day`` say what stands in the bytes, for looking it up. A push leaves them empty, and their indexes
    alone; ``server.book.placing`` fills them in before anybody looks by them. ``farm`` has no index of its own:
    (farm, number) serves.
    """

    farm = models.ForeignKey(Farm, models.PROTECT, db_index=False)
    number = models.BigIntegerField()
    phone = models.ForeignKey(Phone, models.PROTECT, db_index=False)
    line = models.BigIntegerField()
    outcome = models.CharField(max_length=7, choices=OUTCOME)
    code = models.CharField(max_length=40, null=True)
    detail = models.TextField(null=True)
    arrived_at = models.DateTimeField()
    sha = models.CharField(max_length=64)
    raw = models.BinaryField(null=True)
    chain = models.CharField(max_length=64)
    head = models.CharField(max_length=64, null=True)
    entry = models.UUIDField(null=True)
    kind = models.CharField(max_length=20, null=True)
    field = models.UUIDField(null=True)
    by = models.UUIDField(null=True)
    made_at = models.DateTimeField(null=True)
    done_at = models.DateTimeField(null=True)
    round = models.UUIDField(null=True)
    names = models.UUIDField(null=True)
    day = models.DateField(null=True)
    again_of = models.BigIntegerField(null=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("farm", "number"), name="row_number"),
            models.UniqueConstraint(fields=("farm", "entry"), name="row_entry"),
            models.UniqueConstraint(
                fields=("phone", "line"), name="row_line", condition=models.Q(head__isnull=False)
            ),
        )
        indexes = (
            models.Index(
                fields=("farm", "field", "number"), name="row_field", condition=models.Q(field__isnull=False)
            ),
            models.Index(
                fields=("farm", "day", "number"), name="row_day", condition=models.Q(day__isnull=False)
            ),
            models.Index(
                fields=("farm", "kind", "number"), name="row_kind", condition=models.Q(kind__isnull=False)
            ),
            models.Index(fields=("farm", "names"), name="row_names", condition=models.Q(names__isnull=False)),
            # Of a million rows hardly any: those held or refused, and those read again under a later number.
            models.Index(fields=("farm", "number"), name="row_coded", condition=models.Q(code__isnull=False)),
            models.Index(
                fields=("farm", "number"), name="row_again", condition=models.Q(again_of__isnull=False)
            ),
        )


class Receipt(models.Model):
    """What a line was answered that was in the book already, kept for ever. ``number`` is where its sha stands. The
    receipt of every other line is its own row of the book."""

    phone = models.ForeignKey(Phone, models.PROTECT, db_index=False)
    line = models.BigIntegerField()
    sha = models.CharField(max_length=64)
    outcome = models.CharField(max_length=7, choices=OUTCOME)
    was = models.CharField(max_length=7, null=True)
    code = models.CharField(max_length=40, null=True)
    number = models.BigIntegerField()
    head = models.CharField(max_length=64)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("phone", "line"), name="receipt_line"),)
        indexes = (models.Index(fields=("phone", "number"), name="receipt_number"),)


class Erased(models.Model):
    """What a line of the book says in place of its bytes, from which a person's name was erased on request: the
    same entry with the name taken out, made then. What follows from the book is made from it; it is never given
    out as the entry, whose sha it does not have. A line whose bytes were no entry has none."""

    farm = models.ForeignKey(Farm, models.PROTECT, db_index=False)
    number = models.BigIntegerField()
    said = models.BinaryField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("farm", "number"), name="erased_number"),)
