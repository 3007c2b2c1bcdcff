"""A server of its own for a test: a farm with drawn fields, a town with a truck, started and ended as processes."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.error import URLError
from urllib.request import urlopen

ROOT = Path(__file__).resolve().parents[2]
NAME = "Bench End Farm"
PATIENCE_S = 40.0

Corners = list[tuple[str, str]]
"""The upper field is the one of the domain's area example: 0.952248 ha, 2.353055 ac by GeographicLib."""
UPPER: Corners = [("39.700", "-75.100"), ("39.700", "-75.099"), ("39.701", "-75.099"), ("39.701", "-75.100")]
LOWER: Corners = [
    ("39.698", "-75.100"),
    ("39.698", "-75.099"),
    ("39.6995", "-75.099"),
    ("39.6995", "-75.100"),
]

LAY = """
import json, sys
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
import django; django.setup()
from server.people.models import Farm, Person
from server.people import writes as people
from server.land import writes as land
from server.intake.desk import Draft, write
from server.people.ids import new_id
from shared.words.bodies.desk import Land, LegChange, SheetChoice
asked = json.loads(sys.stdin.read())
now = datetime.now(UTC)
farm = Farm.objects.get(name=asked["name"])
owner = Person.objects.get(farm=farm, role="owner")
ids = {"farm": str(farm.id), "owner": str(owner.id)}
drafts = [Draft(SheetChoice("new_jersey", True, date(2026, 1, 1), "where the farm is"))]
for field in asked["fields"]:
    subject = new_id(now)
    ring = tuple((Decimal(lat), Decimal(lon)) for lat, lon in field["ring"])
    drafts.append(Draft(Land("field", subject, 1, field["name"], "drawn", pieces=((ring,),))))
    ids[field["name"]] = str(subject)
write(farm.id, owner.id, drafts, now)
start = date.fromisoformat(asked["today"]) - timedelta(days=40)
legs = [
    Draft(LegChange(field["leg"], start, "as it stands", field["crop"]), field=ids[field["name"]])
    for field in asked["fields"]
]
from dataclasses import replace
from uuid import UUID
write(farm.id, owner.id, [replace(one, field=UUID(one.field)) for one in legs], now)
crew = people.add_person(farm.id, now, name=asked["crew"], role="tallier", language=asked["language"])
ids["crew"] = str(crew.id)
town = land.put_town(farm.id, now, name="Fallowdale")
ids["town"] = str(town.id)
truck = land.put_vehicle(farm.id, now, label="Fallowdale 6", town_id=town.id, bed_yd3=Decimal(25), packing="vacuumed")
ids["truck"] = str(truck.id)
print(json.dumps(ids))
"""


def free_port() -> int:
    with socket.socket() as asking:
        asking.bind(("127.0.0.1", 0))
        return int(asking.getsockname()[1])


@dataclass
class FarmServer:
    """The server's folder and port; the process may be started and ended as often as a test wants."""

    data: Path
    port: int
    environment: Mapping[str, str] | None = None
    process: subprocess.Popen[bytes] | None = None
    link: str = ""

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def _environment(self) -> dict[str, str]:
        return {**os.environ, **(self.environment or {})}

    def command(self, *words: str) -> str:
        done = subprocess.run(
            [sys.executable, "-m", "server", *words, "--data", str(self.data)],
            cwd=ROOT,
            env=self._environment(),
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    def found(self) -> None:
        self.link = self.command("new-farm", NAME, "--zone", "America/New_York", "--address", self.address)

    def lay(self, today: str, crew: str = "Ana Belquira", language: str = "en") -> dict[str, str]:
        """Two fields, one in leaves and one in sorghum-sudan; a town with a truck; somebody at the gate."""
        fields = [
            {"name": "Upper Rest", "ring": UPPER, "leg": "leaf", "crop": None},
            {"name": "Spring Piece", "ring": LOWER, "leg": "smother", "crop": "sorghum_sudan"},
        ]
        asked = {"name": NAME, "fields": fields, "crew": crew, "language": language, "today": today}
        return self.python(LAY, asked)

    def python(self, program: str, asked: Any) -> Any:
        """Run a piece of Python with the server's settings, on this farm's folder."""
        settings = {"GOODGROUND_DATA": str(self.data), "DJANGO_SETTINGS_MODULE": "server.config.settings"}
        done = subprocess.run(
            [sys.executable, "-c", program],
            cwd=ROOT,
            env=self._environment() | settings,
            input=json.dumps(asked),
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)

    def code(self) -> str:
        return self.command("code", "--farm", NAME)

    def start(self) -> None:
        with (self.data / "serve.log").open("ab") as log:
            self.process = subprocess.Popen(
                [
                    *(sys.executable, "-m", "server", "serve"),
                    *("--data", str(self.data), "--port", str(self.port)),
                ],
                cwd=ROOT,
                env=self._environment(),
                stdout=log,
                stderr=log,
            )
        end = time.monotonic() + PATIENCE_S
        while True:
            with suppress(URLError, ConnectionError), urlopen(f"{self.address}/api/v1/hello/") as answer:
                if answer.status == 200:
                    return
            assert self.process.poll() is None, (self.data / "serve.log").read_text()
            assert time.monotonic() < end, "the server did not answer"
            time.sleep(0.1)

    def stop(self) -> None:
        if self.process is not None:
            self.process.terminate()
            with suppress(subprocess.TimeoutExpired):
                self.process.wait(10)
            if self.process.poll() is None:
                self.process.kill()
                self.process.wait()
            self.process = None
