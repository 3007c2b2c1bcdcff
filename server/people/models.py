"""Accounts, farms with their counters, people, phones and what joins them."""

from __future__ import annotations

from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from shared.words.farm import Farm as FarmValue
from shared.words.person import Person as PersonValue

ROLE = models.TextChoices("ROLE", "crew tallier manager owner reader")
LANGUAGE = models.TextChoices("LANGUAGE", "en es")
DESK_ROLES = ("manager", "owner")


class Accounts(BaseUserManager["Account"]):
    def create_user(self, name: str, password: str | None = None, **more: Any) -> Account:
        account = self.model(name=name, **more)
        account.set_password(password)
        account.save(using=self._db)
        return account


class Account(AbstractBaseUser):
    """Who may sign in on the pages. What they may do is for each farm's people rows to say."""

    id = models.UUIDField(primary_key=True)
    name = models.CharField(max_length=150, unique=True)
    language = models.CharField(max_length=2, choices=LANGUAGE, default="en")
    is_active = models.BooleanField(default=True)

    objects = Accounts()
    USERNAME_FIELD = "name"
    REQUIRED_FIELDS: ClassVar[list[str]] = []


class SignIn(models.Model):
    """A link that signs an account in once. Only its SHA-256 is kept."""

    account = models.ForeignKey(Account, models.CASCADE)
    token_sha = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)


class Farm(models.Model):
    """A farm and its two counters: ``number`` and ``chain`` of the book, ``turn`` of the reference rows.

    ``folded`` is the number up to which the status rows follow from the book, ``placed`` the one up to which its rows
    can be looked up by what they say.
    ``era`` changes with each restore; ``gone_before`` is the turn up to which tombstones were cleared away;
    ``backed_up`` the highest book number that stands in a backup which was read back and checked; ``dues_on``
    the farm-day for which the dues were last made. The farm sets ``next_season_on``, by when leaves are to be
    worked in, and ``leaves_from``, when it expects the season's first.
    """

    id = models.UUIDField(primary_key=True)
    name = models.CharField(max_length=200, unique=True)
    zone = models.CharField(max_length=64)
    units = models.CharField(max_length=8, default="us")
    made_at = models.DateTimeField()
    era = models.CharField(max_length=8)
    number = models.BigIntegerField(default=0)
    chain = models.CharField(max_length=64)
    folded = models.BigIntegerField(default=0)
    placed = models.BigIntegerField(default=0)
    turn = models.BigIntegerField(default=0)
    gone_before = models.BigIntegerField(default=0)
    backed_up = models.BigIntegerField(default=0)
    backed_up_at = models.DateTimeField(null=True)
    dues_on = models.DateField(null=True)
    next_season_on = models.DateField(null=True)
    leaves_from = models.DateField(null=True)

    def __str__(self) -> str:
        return self.name

    def value(self) -> FarmValue:
        return FarmValue(self.id, self.name, self.zone, self.units)


class Reference(models.Model):
    """A row that phones pull: ``turn`` is its place in the farm's second counter. ``people.turns`` alone writes."""

    turn = models.BigIntegerField(default=0)

    class Meta:
        abstract = True


class Person(Reference):
    """Somebody who makes entries on one farm. ``digits`` is the salted hash of four digits: a name tag, no lock.
    ``managed``: is or ever was manager or owner, so that what they once corrected keeps its force."""

    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.PROTECT, related_name="people")
    account = models.ForeignKey(Account, models.PROTECT, null=True, related_name="people")
    name = models.CharField(max_length=150)
    initials = models.CharField(max_length=6)
    role = models.CharField(max_length=8, choices=ROLE)
    language = models.CharField(max_length=2, choices=LANGUAGE, default="en")
    digits = models.CharField(max_length=128, null=True)
    managed = models.BooleanField(default=False)
    retired = models.BooleanField(default=False)

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="person_turn"),)
        constraints = (models.UniqueConstraint(fields=("farm", "account"), name="person_once_a_farm"),)

    def __str__(self) -> str:
        return self.name

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.managed = self.managed or self.role in DESK_ROLES
        super().save(*args, **kwargs)

    def value(self) -> PersonValue:
        return PersonValue(
            self.id,
            self.name,
            self.initials,
            self.role,  # type: ignore[arg-type]
            self.language,  # type: ignore[arg-type]
            self.digits,
            self.retired,
        )


class Phone(models.Model):
    """One enrolment: its own lines 1, 2, 3 …, their head, its token's SHA-256. The desk is one with no token.

    ``next_sha`` is a token that waits for its first use. ``waits`` and ``waits_at``: how many entries it last
    said it still held, and when. ``safe``: the highest line up to which every line is in a checked backup.
    """

    id = models.UUIDField(primary_key=True)
    farm = models.ForeignKey(Farm, models.PROTECT, related_name="phones")
    label = models.CharField(max_length=100)
    platform = models.CharField(max_length=40)
    app = models.CharField(max_length=40)
    desk = models.BooleanField(default=False)
    made_at = models.DateTimeField()
    line = models.BigIntegerField(default=0)
    head = models.CharField(max_length=64)
    safe = models.BigIntegerField(default=0)
    token_sha = models.CharField(max_length=64, null=True, unique=True)
    next_sha = models.CharField(max_length=64, null=True, unique=True)
    skew_ms = models.BigIntegerField(default=0)
    seen_at = models.DateTimeField(null=True)
    waits = models.IntegerField(null=True)
    waits_at = models.DateTimeField(null=True)
    stopped_at = models.DateTimeField(null=True)
    copied_at = models.DateTimeField(null=True)
    copy_of = models.ForeignKey("self", models.PROTECT, null=True)
    again_nonce = models.CharField(max_length=64, default="")

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("farm",), condition=models.Q(desk=True), name="one_desk_a_farm"),
        )

    def __str__(self) -> str:
        return self.label


class Boot(models.Model):
    """How far a phone's clock was ahead of the server's, for each time that it was switched on."""

    phone = models.ForeignKey(Phone, models.CASCADE, related_name="boots")
    boot = models.UUIDField()
    skew_ms = models.BigIntegerField()
    heard_at = models.DateTimeField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("phone", "boot"), name="one_skew_a_boot"),)


class Slip(models.Model):
    """A joining slip: a code for one use. ``answer`` is what its use was answered with, less the token,
    which is derived again from code, nonce and phone."""

    farm = models.ForeignKey(Farm, models.CASCADE, related_name="slips")
    code_sha = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    nonce = models.CharField(max_length=128, default="")
    phone = models.ForeignKey(Phone, models.PROTECT, null=True)
    answer = models.TextField(null=True)


class WrongCode(models.Model):
    """A code that no slip has, and from where: so that guessing is slow."""

    address = models.CharField(max_length=64)
    at = models.DateTimeField(db_index=True)


class Gone(models.Model):
    """A reference row that is no more. A phone that pulls hears of it."""

    farm = models.ForeignKey(Farm, models.CASCADE)
    kind = models.CharField(max_length=20)
    ref = models.TextField()
    turn = models.BigIntegerField()

    class Meta:
        indexes = (models.Index(fields=("farm", "turn"), name="gone_turn"),)
        constraints = (models.UniqueConstraint(fields=("farm", "kind", "ref"), name="gone_once"),)
