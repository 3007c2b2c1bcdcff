"""A book of a million entries on a farm of 500 fields over ten years, laid once and kept: ``python -m tests.bench
laid_book``. Every entry goes in as a phone's push; the office draws the fields, sets the legs and initials each day.

It stands in ``tests/bench/books`` (ignored), or where GOODGROUND_BENCH_BOOKS says; GOODGROUND_BENCH_ENTRIES is how many
entries. A bench that changes it works on a copy.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any
from uuid import UUID

from tests.bench.laid import BATCH, lay, uuid7

ENTRIES = int(os.environ.get("GOODGROUND_BENCH_ENTRIES", "1000000"))
FIELDS, STOPS, YEARS, TOWNS, PHONES = 500, 12, 10, 6, 8
BEGINS = datetime(2016, 3, 1, 11, tzinfo=UTC)
PLACE = Path(os.environ.get("GOODGROUND_BENCH_BOOKS", str(Path(__file__).parent / "books")))
WALKED: tuple[tuple[str, dict[str, Any]], ...] = (
    ("cover", {"cover": "rye", "height_in": "31", "heads": "none"}),
    ("weeds", {"seed_set": "none", "scale": "cover8", "classes": ["1-5", "5-25"]}),
    ("firmness", {"cone": "half_inch", "moisture": "ready", "where": "body", "peak_psi": "280"}),
    ("leaf_depth", {"depth_in": "4", "layer": "fresh"}),
)
VARIED = {"height_in": (8, 60), "peak_psi": (120, 420), "depth_in": (2, 6)}
LOADS_OF_100, WORK_OF_100, SECOND_THOUGHTS_OF_1000 = 8, 4, 5


def run() -> None:
    print(f"  {book(ENTRIES)}", flush=True)


def book(entries: int = ENTRIES) -> Path:
    """The folder of a server whose book has so many entries, folded; laid first where it is not there."""
    folder = PLACE / f"of-{entries}"
    if (folder / "whole").is_file():
        return folder
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    began = time.monotonic()
    _lay(folder, entries)
    print(f"  laid in {time.monotonic() - began:.0f} s", flush=True)
    (folder / "whole").write_text("")
    return folder


@dataclass
class Phone:
    """A phone that keeps no lines: only where its sequence stands."""

    hand: Any
    line: int = 0
    head: str = ""

    def push(self, batch: Sequence[bytes], sent: datetime) -> None:
        from shared.sync.chain import NO_HEAD, next_head
        from shared.wire import lines
        from shared.wire.push import Frame, push_bytes
        from shared.wire.scalars import moment, written_moment

        prev = self.head or NO_HEAD
        boot = UUID("0190ffff-0000-7000-8000-000000000001")
        at = moment(written_moment(sent), "sent_at")
        frame = Frame(self.hand.id, self.line + 1, prev, len(batch), at, boot, 5_000)
        answer = self.hand.send(push_bytes(frame, batch))
        assert answer.status_code == 200, answer.content
        assert {one["outcome"] for one in answer.json()["results"]} == {"kept"}, answer.content[:500]
        for one in batch:
            prev = next_head(prev, lines.sha(one))
        self.line, self.head = self.line + len(batch), prev


def _lay(folder: Path, entries: int) -> None:
    os.environ["GOODGROUND_DATA"] = str(folder)
    lay(folder)
    from server.intake import desk
    from server.people import clock
    from server.status.writes import rebuild
    from tests.server.ground import HandPhone
    from tests.server.web.farmyard import Farmyard

    chance, stands = random.Random(11), [BEGINS]
    clock.source = lambda: stands[0]
    yard = _farm(Farmyard)
    fields = _fields(yard)
    phones = [
        Phone(HandPhone.join(yard.ground, BEGINS, f"nonce-of-phone-{place}")) for place in range(PHONES)
    ]
    # What follows from the book is made once, at the end.
    desk.catch_up = lambda farm, now: None
    days = YEARS * 365
    made = _entries(yard, fields, entries, chance)
    for first in range(0, entries, BATCH):
        several = [next(made) for _ in range(min(BATCH, entries - first))]
        stands[0] = BEGINS + timedelta(days=first * days // entries, hours=9)
        phones[first // BATCH % PHONES].push([one for _, one in several], stands[0])
        _initialled(yard, [one for one, _ in several], stands[0])
        if first % (100 * BATCH) == 0:
            print(f"  {first:,} of {entries:,}", end="\r", file=sys.stderr, flush=True)
    rebuild(yard.ground.fresh(), stands[0])


def _farm(farmyard: Any) -> Any:
    from server.land.writes import put_town
    from tests.server.ground import found

    yard = farmyard.of(found("Broad Rise", BEGINS), BEGINS)
    for place in range(TOWNS - 1):
        put_town(yard.farm, BEGINS, uuid7(BEGINS), name=f"Town {place}", season_cap_yd3=Decimal(40_000))
    return yard


def _fields(yard: Any) -> list[UUID]:
    """500 drawn fields, each with its legs year by year."""
    from server.intake import desk
    from server.intake.desk import Draft
    from shared.words.bodies.desk import LegChange
    from tests.server.ground import land_body, square

    more = [uuid7(BEGINS) for _ in range(FIELDS - 2)]
    drawn = [
        Draft(land_body(one, f"Field {place}", square(f"40.{200 + place}", "-75.1")), field=one)
        for place, one in enumerate(more)
    ]
    desk.write(yard.farm, yard.ground.owner.id, drawn, BEGINS)
    fields = [*yard.ground.fields, *more]
    legs = ("cash", "hay", "hay", "leaf", "smother")
    for year in range(YEARS):
        on = (BEGINS + timedelta(days=365 * year)).date()
        yard.write_all(
            [
                yard.draft(LegChange(legs[(year + place) % 5], on, "as it stands", "rye"), field=one)
                for place, one in enumerate(fields)
            ]
        )
    return fields


def _entries(
    yard: Any, fields: Sequence[UUID], entries: int, chance: random.Random
) -> Iterator[tuple[UUID, bytes]]:
    """Each entry's id and bytes: rounds of twelve stops, loads, work, and now and then a second thought."""
    from server.intake.desk import Draft, entry_of
    from shared.wire import lines
    from shared.words.bodies.work import Work
    from tests.server.ground import entry_tree, raw

    crew, farm = yard.ground.crew.id, yard.ground.farm
    load = json.loads(lines.encode(entry_of(Draft(yard.load_body(fields[0])), farm, crew, BEGINS)))["body"]
    spread = json.loads(
        lines.encode(entry_of(Draft(Work("spread", yards_yd3=Decimal(20))), farm, crew, BEGINS))
    )["body"]
    step = timedelta(days=YEARS * 365) / entries
    last: tuple[UUID, str, dict[str, Any]] | None = None
    for place in range(entries):
        at = BEGINS + step * place
        field = fields[chance.randrange(len(fields))] if place % STOPS == 0 or last is None else field  # noqa: F821
        more: dict[str, Any] = {"field": field, "id": uuid7(at), "mono_ms": 20_000 * place}
        more["made_at"] = at.isoformat(timespec="milliseconds")
        turn = chance.randrange(1000)
        if turn < SECOND_THOUGHTS_OF_1000 and last is not None:
            kind, more["names"] = "strike", last[0]
            body: dict[str, Any] = {"of": last[1], "why": "wrong stop"}
        elif turn < 2 * SECOND_THOUGHTS_OF_1000 and last is not None:
            kind, more["names"] = "correction", last[0]
            body = {"of": last[1], "body": last[2], "why": "read again"}
        elif turn < 10 * (LOADS_OF_100 + 1):
            kind = "load"
            body = load | {"ticket": f"{at:%y}-{place:06d}", "to": [[str(field), "20"]]}
        elif turn < 10 * (LOADS_OF_100 + WORK_OF_100 + 1):
            kind, body = "work", spread
        else:
            kind, told = WALKED[place // STOPS % len(WALKED)]
            body = dict(told)
            for key in VARIED.keys() & body.keys():
                body[key] = str(chance.randint(*VARIED[key]))
            more |= {
                "round": UUID(int=(0x0190 << 112) | 7 << 76 | 2 << 62 | place // STOPS),
                "stop": place % STOPS + 1,
            }
            more["at"] = _fix(at, chance)
        tree = entry_tree(crew, kind, body, **more)
        last = None if kind in ("strike", "correction") else (tree["id"], kind, body)
        yield UUID(tree["id"]), raw(tree)


def _fix(at: datetime, chance: random.Random) -> dict[str, str]:
    return {
        "lat": f"{40.1 + chance.random() / 500:.7f}",
        "lon": f"{-75.1 + chance.random() / 500:.7f}",
        "r68_m": f"{chance.randint(20, 90) / 10}",
        "fixed_at": (at - timedelta(milliseconds=400)).isoformat(timespec="milliseconds"),
        "from": "gps",
    }


def _initialled(yard: Any, entries: Sequence[UUID], at: datetime) -> None:
    """The evening's reading of a batch."""
    from server.intake import desk
    from server.intake.desk import Draft
    from shared.words.bodies.reading import Reading

    desk.write(yard.farm, yard.ground.owner.id, [Draft(Reading(tuple(entries), "initialled", False))], at)
