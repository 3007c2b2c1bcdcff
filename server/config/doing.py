"""What each command does, once settings stand."""

from __future__ import annotations

import argparse
import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, BinaryIO
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management import call_command
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from tqdm import tqdm

from server.book.export import exported
from server.config.errors import TakesTwo
from server.intake import again, carried, desk
from server.keeping import backups, restoring
from server.people import reads, slips, writes
from server.people.clock import now
from server.people.models import Farm, Person
from server.reading import erasing
from server.registers import forgetting
from server.registers import weather as kept
from server.weather.ghcn import MOST_DAYS, days
from server.weather.service import configured, fetched
from shared.errors import BadCarry
from shared.rules import DEFAULT_SHEETS
from shared.wire.carry import read_carry
from shared.words.bodies.desk import Restored, SheetChoice


def laid() -> None:
    """The tables as this version wants them. Django's own command takes seconds where there is nothing to do."""
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        call_command("migrate", verbosity=0, interactive=False)


def new_farm(told: argparse.Namespace) -> None:
    laid()
    at = now()
    with transaction.atomic():
        farm = writes.found_farm(told.name, told.zone, at)
        owner = told.owner or f"Owner of {told.name}"
        account = writes.add_account(owner, at)
        person = writes.add_person(farm.id, at, name=owner, role="owner", account=account)
        desk.write(farm.id, person.id, first_sheets(farm, at), at)
        token = writes.sign_in_token(account, at)
    print(f"{told.address}/sign-in/{token}/")


def first_sheets(farm: Farm, at: datetime) -> list[desk.Draft]:
    """The rule sheets that a new farm begins with; which of them hold is for the farm to say."""
    on = at.astimezone(ZoneInfo(farm.zone)).date()
    return [desk.Draft(SheetChoice(name, True, on, "the farm begins with it")) for name in DEFAULT_SHEETS]


def code(told: argparse.Namespace) -> None:
    laid()
    made = slips.make_slip(reads.farm_named(told.farm).id, now())
    print(made)
    if told.square:
        import segno

        link = slips.link(told.square, made, settings.PLACE.pin())
        segno.make(slips.square_link(link), error="m", micro=False).terminal(compact=True)
        print(link)


def serve(told: argparse.Namespace) -> None:
    from server.config import listening, tls
    from server.config.wsgi import application

    laid()
    if told.tls is None:
        settings.PLACE.keep_pin(None)
        listening.serve_plain(application, told)
        return
    if len(told.tls) not in (0, 2):
        raise TakesTwo
    names = [one for one in (*settings.ALLOWED_HOSTS, told.host) if one not in ("0.0.0.0", "::")]
    shown = (
        tls.given(*map(Path, told.tls)) if told.tls else tls.own(settings.PLACE, dict.fromkeys(names), now())
    )
    settings.PLACE.keep_pin(shown.pin)
    listening.serve_secure(application, told, shown)


def rebuild_status(told: argparse.Namespace) -> None:
    laid()
    from server.status import writes as status

    for farm in Farm.objects.order_by("name"):
        with tqdm(total=0, desc=farm.name, unit=" rows", unit_scale=True, disable=None) as bar:

            def told(done: int, of: int, bar: Any = bar) -> None:
                bar.total, bar.n = of, done
                bar.refresh()

            print(f"{farm.name}: {status.rebuild(farm, now(), told)}")


def read_again(told: argparse.Namespace) -> None:
    laid()
    for farm in Farm.objects.order_by("name"):
        kept, held = again.read_again(farm.id, now())
        print(f"{farm.name}: {kept} kept, {held} held still")


def take(told: argparse.Namespace) -> None:
    laid()
    try:
        with open(told.file, "rb") as file:
            taken = _taken(file, told.leave)
    except OSError as error:
        raise BadCarry(f"{told.file}: {error.strerror}") from None
    lines = ", ".join(f"{count} {outcome}" for outcome, count in sorted(taken.outcomes.items())) or "no lines"
    print(f"{lines}; {taken.photos} photos, {taken.photos_refused} not taken")


def _taken(file: BinaryIO, leave: bool) -> carried.Taken:
    farm = read_carry(file).carried.farm
    if not Farm.objects.filter(id=farm).exists():
        raise BadCarry("it was made for a farm that is not on this server")
    return carried.take(farm, file, now(), leave)


def backup(told: argparse.Namespace) -> None:
    laid()
    made = backups.back_up(Path(told.into), now())
    names = dict(Farm.objects.values_list("id", "name"))
    reached = ", ".join(f"{names[farm]} to number {number}" for farm, number in made.numbers.items())
    print(f"{made.folder}: read back and checked; {reached or 'no farm yet'}")


def backed_up(told: argparse.Namespace) -> None:
    laid()
    backups.mark_safe(reads.farm_named(told.farm).id, told.number, now())


def restore(told: argparse.Namespace) -> None:
    at = now()
    backup = Path(told.backup)
    restoring.put_back(backup, at)
    laid()
    made_at, farms = restoring.new_eras(backup)
    for farm in farms:
        _say_restored(farm, made_at, at)
        number = farm.number
        print(
            f"{farm.name}: back to number {number}; phones send what came after it, what the desk wrote is gone"
        )


def _say_restored(farm: Farm, made_at: str, at: datetime) -> None:
    """A line in the farm's own book: whoever reads it later learns that it was put back, and from when."""
    owner = Person.objects.filter(farm=farm, role="owner").order_by("turn").first()
    if owner is not None:
        body = Restored(farm.number, made_at, "put back from a backup")
        desk.write(farm.id, owner.id, [desk.Draft(body)], at)


def redact(told: argparse.Namespace) -> None:
    laid()
    farm = reads.farm_named(told.farm)
    one = erasing.person_called(farm.id, told.person)
    done = erasing.erase(farm.id, one.id, told.why, now(), told.also, [forgetting.forget])
    print(
        f"erased: {done.entries} entries lost their words, {done.unreadable} of them wholly; "
        "backups, exports and phones made or filled before still hold the name"
    )


def book(told: argparse.Namespace) -> None:
    laid()
    for lines in exported(reads.farm_named(told.farm)):
        sys.stdout.buffer.write(lines)
    sys.stdout.buffer.flush()


def weather(told: argparse.Namespace) -> None:
    service = configured()
    laid()
    farm, at = reads.farm_named(told.farm), now()
    today = at.astimezone(ZoneInfo(farm.zone)).date()
    text = fetched(service, today - timedelta(days=max(1, min(told.days, MOST_DAYS))), today)
    owner = Person.objects.filter(farm=farm, role="owner").order_by("turn").first()
    several = [one for one in kept.named(days(text), service.station) if one.date <= today]
    fresh, there = kept.keep(farm, owner.id, several, at) if owner is not None else (0, 0)
    print(f"{farm.name}: {fresh} days written, {there} stood there already")


def openapi(told: argparse.Namespace) -> None:
    call_command("spectacular", "--validate", "--fail-on-warn")
