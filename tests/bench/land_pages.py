"""Lie of the land, its map, the land and the gate with 500 fields: the page's time in the database against reading the
same rows bare, and how long the whole page takes."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from tests.bench.laid import lay, uuid7
from tests.bench.measure import pair, tell

FIELDS, ROUNDS = 500, 5
TABLES = ("land_field", "land_leg", "land_buffer", "land_part", "land_pile", "status_standing", "status_due")


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        lay(Path(folder))
        from tests.server.web.farmyard import Farmyard, signed_in

        yard = _yard(Farmyard)
        client = signed_in(yard.ground.owner)
        pages = {
            "lie of the land": yard.page("lie_of_the_land"),
            "its map": yard.page("lie_of_the_land") + "?as=map",
            "the land": yard.page("ground"),
            "gate sheets": yard.page("gate_sheets"),
        }
        for name, address in pages.items():
            _tell(name, lambda address=address: client.get(address))


def _yard(farmyard: Any) -> Any:
    """A farm with 500 drawn fields in their legs, and a load on each."""
    from server.intake import desk
    from server.intake.desk import Draft
    from shared.words.bodies.desk import LegChange
    from tests.server.ground import found, land_body, square

    now = datetime.now(UTC)
    yard = farmyard.of(found(f"Broad Rise {now.timestamp():.0f}", now), now)
    fields = [uuid7(now) for _ in range(FIELDS - 2)]
    drawn = [
        Draft(land_body(one, f"Field {place}", square(f"40.{200 + place}", "-75.1")), field=one)
        for place, one in enumerate(fields)
    ]
    desk.write(yard.farm, yard.ground.owner.id, drawn, now)
    leg = LegChange("leaf", date(now.year - 1, 10, 1), "as it stands")
    yard.write_all([yard.draft(leg, field=one) for one in fields])
    yard.write_all([yard.draft(yard.load_body(one)) for one in fields])
    return yard


def _tell(name: str, look: Callable[[], Any]) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    look()
    asked = CaptureQueriesContext(connection)
    with asked:
        look()
    selects = [one["sql"] for one in asked.captured_queries if one["sql"].startswith("SELECT")]

    def its_own() -> None:
        _read(selects)

    def bare() -> None:
        _read([f"SELECT * FROM {table}" for table in TABLES])

    ours, floor = pair(its_own, bare, ROUNDS)
    tell(f"{name}, its {len(selects)} queries", ours, "its rows bare", floor, "3 times or less")
    whole, _ = pair(look, bare, ROUNDS)
    print(f"  {name}, the whole page of {FIELDS} fields: {whole * 1e3:.0f} ms", flush=True)


def _read(told: Sequence[str]) -> None:
    from django.db import connection

    with connection.cursor() as cursor:
        for sql in told:
            cursor.execute(sql)
            cursor.fetchall()
