"""Lays the farm into a server's data folder: through the desk and through the phones' own pushes, day by day.

Nothing is written around the server: towns and trucks go through the one writer of reference rows, the book is
opened at the desk, and each phone joins with a slip and hands in its lines every evening with its own chain, as
does the desk. The server is told the time of those evenings, so that each line arrived when it would have.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

from demo_fixtures import clocks, desk, farm, fertilizer, people, towns
from demo_fixtures.book import LAST_NIGHT, Line, book, lately, season_of
from demo_fixtures.gate import OPENS
from demo_fixtures.people import DESK, OWNER
from demo_fixtures.season import Season, on
from demo_fixtures.seed import FOUNDED, SEED, identity
from shared.sync.chain import NO_HEAD, next_head
from shared.wire import lines as wire
from shared.wire.pull import JoinRequest
from shared.wire.push import Frame, push_bytes
from shared.words.person import digits_hash

if TYPE_CHECKING:
    from server.intake.desk import Draft

FARM = identity(FOUNDED, "farm")
HANDED_IN_AT = (18, 5)
APP = "0.1.0"


@dataclass(slots=True)
class Chain:
    """One phone's enrolment as the phone itself keeps it: its number, its last line, the head over its lines."""

    phone: UUID
    line: int = 0
    head: str = NO_HEAD

    def push(self, key: str, raws: list[bytes], season: Season, at: datetime) -> bytes:
        """The bytes of one hand-in, and the chain moves on."""
        boot, mono_ms = clocks.steady(season, key, at)
        sent_at = clocks.told(clocks.shown(season, key, at))
        frame = Frame(self.phone, self.line + 1, self.head, len(raws), sent_at, boot, mono_ms)
        for raw in raws:
            self.head = next_head(self.head, wire.sha(raw))
        self.line += len(raws)
        return push_bytes(frame, raws)


@dataclass(slots=True)
class Laid:
    """What was laid: how many lines, and each phone's chain by its key."""

    lines: int = 0
    chains: dict[str, Chain] = field(default_factory=dict)


def lay(folder: Path, until: datetime = LAST_NIGHT, seed: int = SEED, since: date | None = None) -> Laid:
    """Make the data folder with its tables, and fill it, with ``since`` only with what was written lately. Raises
    ``FarmExists`` where the farm is there already."""
    settings(folder)
    from server.config.doing import laid as tables

    tables()
    _in_haste()
    return fill(until, seed, lately(book(until, seed), since) if since else None)


def _in_haste() -> None:
    """No waiting for the disk while the farm is laid: a run that is cut short is thrown away and laid again."""
    from django.db import connection

    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA synchronous=OFF")


def settings(folder: Path) -> None:
    """Point the server's settings at a data folder; before anything of Django is used."""
    from server.config.place import Place

    os.environ["GOODGROUND_DATA"] = str(folder.resolve())
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.config.settings")
    Place(folder).make()
    import django

    django.setup()


def fill(until: datetime = LAST_NIGHT, seed: int = SEED, lines: Sequence[Line] | None = None) -> Laid:
    """Fill the tables that Django's settings point at, with the whole book or with some of its lines."""
    from server.people.reads import desk_of
    from server.status.following import followed

    season = season_of(until, seed)
    begun = desk.opened(season) - timedelta(minutes=30)
    _found(season, begun)
    out = Laid(chains={one.key: _joined(one, begun) for one in people.PHONES})
    at_desk = Chain(desk_of(FARM).id)
    days = [list(some) for _, some in groupby(lines or book(until, seed), lambda line: line.at.date())]
    for place, day in enumerate(days):
        if place == 0:
            out.lines += _first_evening(season, day, at_desk)
        else:
            out.lines += _day(season, day, {**out.chains, DESK: at_desk}, until)
    _years_dates(season, until)
    fertilizer.typed(FARM, season.year, until)
    # What stands follows from the book once it is whole, and not day by day.
    followed(FARM, until)
    return out


def _years_dates(season: Season, until: datetime) -> None:
    """By when this farm works its leaves in, and when it expects the season's first."""
    from server.people.models import Farm

    in_leaf_season = until.date() >= season.day(0, *OPENS)
    by = season.day(1, 6, 15) if in_leaf_season else season.day(0, 9, 30)
    Farm.objects.filter(id=FARM).update(next_season_on=by, leaves_from=season.day(0, *OPENS))


def _first_evening(season: Season, lines: list[Line], at_desk: Chain) -> int:
    """The book is opened at the desk, as the desk writes: from here on the fields are known."""
    from server.intake.desk import write

    assert {line.phone for line in lines} == {DESK}
    rows = write(FARM, OWNER.id, [_draft(line, season) for line in lines], lines[-1].at)
    for row in rows:
        at_desk.line, at_desk.head = at_desk.line + 1, next_head(at_desk.head, row.sha)
    return len(rows)


def _found(season: Season, now: datetime) -> None:
    from server.land.writes import put_hauler, put_town, put_vehicle
    from server.people import writes

    writes.found_farm(farm.NAME, str(farm.ZONE), now, FARM)
    account = writes.add_account(OWNER.name, now)
    for hand in people.PEOPLE:
        columns: dict[str, Any] = {"account": account} if hand is OWNER else {}
        columns |= {
            "name": hand.name,
            "initials": hand.initials,
            "role": hand.role,
            "language": hand.language,
        }
        writes.add_person(FARM, now, hand.id, digits=digits_hash(hand.id, hand.digits), **columns)
    for town in towns.TOWNS:
        cap, approved = town.season_cap_yd3, town.approved_on(season.year)
        put_town(FARM, now, town.id, name=town.name, season_cap_yd3=cap, organic_approved_on=approved)
    for driver in towns.HAULERS:
        put_hauler(FARM, now, driver.id, name=driver.name)
    for truck in towns.TRUCKS:
        told = {"label": truck.label, "town_id": truck.town.id, "hauler_id": truck.driver.id}
        put_vehicle(
            FARM, now, truck.id, bed_yd3=truck.bed_yd3, packing=truck.packing, plate=truck.plate, **told
        )


def _joined(handset: people.Handset, now: datetime) -> Chain:
    from server.people.slips import join, make_slip

    request = JoinRequest(make_slip(FARM, now), f"demo {handset.key}", handset.label, "android", APP)
    return Chain(UUID(join(request, "127.0.0.1", now)["phone"]))


def _day(season: Season, lines: list[Line], chains: dict[str, Chain], until: datetime) -> int:
    """The phones hand in at the end of the day; then the desk, which is one more enrolment, has its turn."""
    from server.intake.writes import accept

    of_phones = [one.at for one in lines if one.phone != DESK]
    evening = min(max([on(lines[0].at.date(), *HANDED_IN_AT), *of_phones]), until)
    for key, chain in chains.items():
        mine = [one for one in lines if one.phone == key]
        if mine:
            at = max(evening, mine[-1].at)
            accept(chain.phone, chain.push(key, [one.raw for one in mine], season, at), at)
    return len(lines)


def _draft(line: Line, season: Season) -> Draft:
    from server.intake.desk import Draft

    entry = line.fact.entry(season)
    return Draft(
        body=entry.body,
        field=entry.field,
        land=entry.land,
        names=entry.names,
        done_at=entry.done_at,
        done_by=entry.done_by,
        round=entry.round,
        stop=entry.stop,
        from_paper=entry.from_paper,
        made_at=entry.made_at,
        by=entry.by,
        id=entry.id,
    )


def slip_code(folder: Path) -> str:
    """A joining slip for one more phone, for a quarter of an hour from now."""
    settings(folder)
    from server.people.clock import now
    from server.people.slips import make_slip

    return make_slip(FARM, now())


def sign_in_secret(folder: Path) -> str:
    """The secret of a link that signs the owner in once."""
    settings(folder)
    from server.people.clock import now
    from server.people.models import Account
    from server.people.writes import sign_in_token

    return sign_in_token(Account.objects.get(name=OWNER.name), now())
