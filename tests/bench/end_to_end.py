"""From the phone's outbox to acknowledged: the real storage, the real transport, a real server over a socket of
loopback, everything durable at both ends. Beside it the same bytes written once, a commit a batch, by bare SQLite."""

from __future__ import annotations

import os
import statistics
import tempfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from mobile.actions.choose_person import choose_person, people
from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_slip
from mobile.actions.save_entry import NewEntry, save_entries
from mobile.device.chance import SystemChance
from mobile.device.clock import SystemClock
from mobile.ports import Phone
from mobile.transport.http_server import HttpServer
from shared.words.bodies.walked import Cover
from tests.bench.measure import seconds, tell
from tests.bench.push import _bare, _inserted
from tests.mobile.fake_server import FakeServer
from tests.mobile.kit import a_phone
from tests.server.serving import command, serving

MANY = int(os.environ.get("GOODGROUND_BENCH_OUTBOX", "10000"))
AT_ONCE = 500
ROUNDS = 15
BODY = Cover(cover="rye", height_in=Decimal(31), heads="none")


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        data = Path(folder) / "data"
        database = os.environ.get("GOODGROUND_DATABASE_URL", "")
        command(data, "new-farm", "Long Day", database=database)
        code = command(data, "code", "--farm", "Long Day", database=database).strip()
        with serving(data, database=database) as (host, port):
            phone, at = _joined(Path(folder), code, f"http://{host}:{port}")
            _many(Path(folder), phone, at)
            _few(phone, at)
            phone.book.close()


def _joined(folder: Path, code: str, address: str) -> tuple[Phone, int]:
    made = a_phone(folder, FakeServer())
    phone = replace(made, server=HttpServer("0.1.0"), clock=SystemClock(), chance=SystemChance())
    at = join(phone, read_slip(code, address)).id
    choose_person(phone, at, people(phone, at)[0].id)
    assert hand_in(phone, at).is_whole
    return phone, at


def _many(folder: Path, phone: Phone, at: int) -> None:
    for _ in range(0, MANY, AT_ONCE):
        save_entries(phone, at, [NewEntry(body=BODY) for _ in range(min(AT_ONCE, MANY))])
    raws = [one.raw for one in phone.book.since(at, 1)]
    bare = _bare(folder)
    floor = seconds(lambda: [_inserted(bare, raws[n : n + AT_ONCE]) for n in range(0, len(raws), AT_ONCE)])
    bare.close()
    asked = _counting(phone)
    ours = seconds(lambda: _handed_in(phone, at))
    name = f"outbox of {len(raws):,} to acknowledged, {len(asked)} requests, each"
    tell(name, ours, "bare SQLite, one side", floor, "none stated", len(raws))


def _few(phone: Phone, at: int) -> None:
    """Ten new entries and nothing else that is new: one push, one pull that finds nothing."""
    times, quiet = [], []
    for _ in range(ROUNDS):
        save_entries(phone, at, [NewEntry(body=BODY) for _ in range(10)])
        times.append(seconds(lambda: _handed_in(phone, at)))
        quiet.append(seconds(lambda: _handed_in(phone, at)))
    tell(
        "ten new entries to acknowledged, and the pull after",
        statistics.median(times),
        "a pull with nothing new",
        statistics.median(quiet),
        "none stated",
    )


def _handed_in(phone: Phone, at: int) -> None:
    assert hand_in(phone, at).is_whole
    assert phone.book.enrolment(at).waiting == 0


def _counting(phone: Phone) -> list[str]:
    asked: list[str] = []
    server: Any = phone.server
    send = server._send

    def counted(link: Any, method: str, path: str, *more: Any) -> Any:
        asked.append(path)
        return send(link, method, path, *more)

    server._send = counted
    return asked
