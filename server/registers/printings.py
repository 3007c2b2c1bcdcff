"""Long registers asked for, set by a process of their own, kept for a while for whoever asked.

The row is the whole of what is known of one: a server that was ended goes on with it after its start, and a maker that
was killed is found out by its silence.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.db.models import Q, QuerySet

from server.people.models import Farm
from server.registers.models import Printing, ReaderLink

KEPT = timedelta(days=7)
SILENT = timedelta(minutes=5)
"""A maker that was not heard of for so long is there no more."""
MOST_TRIES = 3
SEVERAL = 5
"""So many of one asker wait or are set at a time."""
ROOT = Path(__file__).resolve().parents[2]
_children: list[subprocess.Popen[bytes]] = []


@dataclass(frozen=True, slots=True)
class Asker:
    """Whose a printing is: a person of the farm, or the holder of a link."""

    person: UUID | None = None
    link: ReaderLink | None = None

    def owns(self) -> Q:
        return Q(asked_by=self.person, link=self.link)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be printed: the days are both included."""

    register: str
    first: date
    last: date
    language: str
    lines: int
    field: UUID | None = None


def ask(farm: Farm, asker: Asker, wanted: Wanted, now: datetime) -> Printing | None:
    """The printing of this, in the works from here on; the same one where it was asked for already and the book says
    nothing new. None where the asker has too many in the works."""
    forget_old(now)
    here = of(farm.id, asker)
    told = {
        "register": wanted.register,
        "first": wanted.first,
        "last": wanted.last,
        "language": wanted.language,
        "field": wanted.field,
    }
    same = here.filter(**told, number=farm.number).exclude(state="failed").first()
    if same is None:
        if here.filter(state__in=("waiting", "at_work")).count() >= SEVERAL:
            return None
        same = Printing.objects.create(
            farm=farm, asked_by=asker.person, link=asker.link, asked_at=now, number=farm.number,
            lines=wanted.lines, **told,
        )  # fmt: skip
    begin()
    return same


def of(farm: UUID, asker: Asker) -> QuerySet[Printing]:
    """All that somebody asked for and that is still there, the newest first."""
    return Printing.objects.filter(asker.owns(), farm_id=farm).order_by("-asked_at", "-id")


def looked_at(one: Printing, now: datetime) -> Printing:
    """How it stands; one whose maker fell silent is begun again, or given up after some tries."""
    if one.state == "at_work" and one.beat_at is not None and now - one.beat_at > SILENT:
        state = "waiting" if one.tries < MOST_TRIES else "failed"
        Printing.objects.filter(id=one.id, state="at_work", beat_at=one.beat_at).update(state=state)
    elif one.state == "ready" and not file_of(one).is_file():
        Printing.objects.filter(id=one.id, state="ready").update(state="failed")
    one.refresh_from_db()
    if one.state == "waiting":
        begin()
    return one


def claimed(now: datetime) -> Printing | None:
    """The oldest that waits, taken by whoever asks; None while another is being set: one at a time."""
    if Printing.objects.filter(state="at_work", beat_at__gt=now - SILENT).exists():
        return None
    silent = Q(state="at_work", beat_at__lte=now - SILENT, tries__lt=MOST_TRIES)
    for one in Printing.objects.filter(Q(state="waiting") | silent).order_by("asked_at", "id"):
        mine = Printing.objects.filter(id=one.id, state=one.state, beat_at=one.beat_at)
        if mine.update(state="at_work", beat_at=now, tries=one.tries + 1, lines_set=0, pages=0):
            one.refresh_from_db()
            return one
    return None


def folder() -> Path:
    """Where they are kept. No backup has it: all that is in it can be printed again."""
    return settings.PLACE.folder / "printed"


def file_of(one: Printing) -> Path:
    return folder() / f"{one.id}.pdf"


def forget_old(now: datetime) -> None:
    """Take away what was kept for as long as was said."""
    gone(Printing.objects.filter(kept_until__lte=now))


def gone(several: QuerySet[Printing]) -> int:
    """Take these away with their files; how many they were."""
    found = list(several)
    for one in found:
        file_of(one).unlink(missing_ok=True)
        shutil.rmtree(folder() / str(one.id), ignore_errors=True)
    Printing.objects.filter(id__in=[one.id for one in found]).delete()
    return len(found)


def _started() -> None:
    """A maker beside this process. It ends by itself when nothing waits."""
    _children[:] = [one for one in _children if one.poll() is None]
    if not _children:
        told = os.environ | {"GOODGROUND_DATA": str(settings.PLACE.folder.resolve())}
        _children.append(
            subprocess.Popen(
                [sys.executable, "-m", "server.registers.maker"],
                cwd=ROOT,
                env=told,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                start_new_session=True,
            )
        )


starter: Callable[[], None] = _started
"""What starts a maker; tests set another."""


def begin() -> None:
    starter()
