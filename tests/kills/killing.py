"""A real phone and a real server over real HTTP, killed again and again by SIGKILL at moments that are drawn."""

from __future__ import annotations

import multiprocessing
import random
import signal
import sqlite3
from collections import Counter
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from mobile.actions.choose_person import choose_person, people
from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_slip
from shared.proof.check import check
from shared.sync.chain import NO_HEAD, next_head
from tests.kills import phone_life, server_life
from tests.server.serving import command

FARM = "Fallow Rise"
PHONE_MOMENTS = ("committed", "committed", "committed", "saved", "push", "heard")
SERVER_MOMENTS = ("committed", "committed", "saved", "push", "heard")
MOST_EVENTS = 6
PATIENCE_S = 60.0
OWN = multiprocessing.get_context("forkserver")
OWN.set_forkserver_preload(
    [
        *("tests.kills.phone_life", "waitress", "django.core.handlers.wsgi", "django.db.models", "msgspec"),
        *("shapely", "openpyxl", "shared.rules", "shared.wire.lines"),
    ]
)
"""What phone and server read before they do anything: read once, so that a start takes less."""


class Life:
    """A process of the test's own, and what it tells; ``told`` counts what was heard of it since it began."""

    def __init__(self, live: Any, *arguments: Any) -> None:
        self.ear, mouth = OWN.Pipe(duplex=False)
        self.process = OWN.Process(target=live, args=(*arguments, mouth), daemon=True)
        self.process.start()
        mouth.close()
        self.told: Counter[str] = Counter()
        self.said: list[tuple[str, str]] = []

    def heard(self, patience_s: float = PATIENCE_S) -> bool:
        """Take one thing in that it tells. False where it tells nothing in this time, or no more at all."""
        try:
            if not self.ear.poll(patience_s):
                return False
            what, more = self.ear.recv()
        except (EOFError, OSError):
            return False
        self.told[what] += 1
        self.said.append((what, more))
        return True

    def all_heard(self) -> None:
        while self.heard(0):
            pass

    def kill(self) -> None:
        assert self.process.pid is not None
        self.process.kill()
        self.process.join()
        assert self.process.exitcode == -signal.SIGKILL
        while self.heard(1.0):
            pass
        self.ear.close()


@dataclass
class Killing:
    folder: Path
    dice: random.Random
    saved: list[str] = field(default_factory=list)
    between: int = 0
    """Kills that fell after the server's commit and before its answer was there."""
    phone_kills: int = 0
    server_kills: int = 0
    port: int = 0

    def __post_init__(self) -> None:
        self.data, self.file = self.folder / "data", self.folder / "phone.sqlite"
        command(self.data, "new-farm", FARM)
        code = command(self.data, "code", "--farm", FARM).strip()
        self._serve()
        phone = phone_life.made(self.file, phone_life.Telling())
        at = join(phone, read_slip(code, f"http://127.0.0.1:{self.port}")).id
        choose_person(phone, at, people(phone, at)[0].id)
        phone.book.close()
        phone.server.close()  # type: ignore[attr-defined]
        self._live()

    def _serve(self) -> None:
        self.server = Life(server_life.live, str(self.data), self.port)
        assert self.server.heard()
        self.port = int(self.server.said[0][1])

    def _live(self) -> None:
        self.server.all_heard()
        self.committed_before = self.server.told["committed"]
        self.phone = Life(phone_life.live, str(self.file))

    def _until(self, moment: str, count: int) -> None:
        """Until phone or server has told of this so many times more."""
        teller = self.server if moment == "committed" else self.phone
        wanted = teller.told[moment] + count
        while teller.told[moment] < wanted:
            assert teller.heard(), f"nobody told of {moment}"

    def kill_phone(self) -> None:
        self._until(self.dice.choice(PHONE_MOMENTS), self.dice.randint(1, MOST_EVENTS))
        self.server.all_heard()
        committed = self.server.told["committed"] - self.committed_before
        self.phone.kill()
        self.phone_kills += 1
        self.between += committed > self.phone.told["heard"]
        self._note()
        self._live()

    def kill_server(self) -> None:
        self._until(self.dice.choice(SERVER_MOMENTS), self.dice.randint(1, MOST_EVENTS))
        self.server.kill()
        self.server_kills += 1
        self.between += self.server.told["committed"] > self.server.told["answered"]
        self._serve()
        self.phone.all_heard()
        self.committed_before = -self.phone.told["heard"]

    def _note(self) -> None:
        self.saved += [more for what, more in self.phone.said if what == "saved"]

    def end(self) -> None:
        """The phone hands in the rest, and both stop."""
        self.phone.kill()
        self._note()
        phone = phone_life.made(self.file, phone_life.Telling())
        at = phone.book.enrolments()[0].id
        for _ in range(20):
            if hand_in(phone, at).is_whole:
                break
        assert phone.book.enrolment(at).waiting == 0
        phone.book.close()
        phone.server.close()  # type: ignore[attr-defined]
        self.server.kill()

    def check(self) -> None:
        """None lost, none twice; both files sound, every chain whole."""
        with closing(sqlite3.connect(self.file)) as phone:
            assert phone.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            lines = phone.execute("SELECT line, sha, head, outcome FROM entries ORDER BY line").fetchall()
        head = NO_HEAD
        for place, (line, sha, kept, outcome) in enumerate(lines, 1):
            head = next_head(head, sha)
            assert (line, kept, outcome) == (place, head, "kept")
        with closing(sqlite3.connect(self.data / "book.sqlite3")) as book:
            assert book.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            came = book.execute(
                "SELECT r.sha FROM book_row r JOIN people_phone p ON p.id = r.phone_id WHERE NOT p.desk ORDER BY number"
            ).fetchall()
        there = [sha for (sha,) in came]
        assert there == [sha for _, sha, _, _ in lines]
        assert len(there) == len(set(there))
        assert set(self.saved) <= set(there)
        told = command(self.data, "book", "--farm", FARM)
        assert check([one.encode() for one in told.splitlines()]).fault is None


def killed(folder: Path, phone_kills: int, server_kills: int, seed: int) -> Killing:
    """A phone and a server killed this many times, those of the server among those of the phone."""
    dice = random.Random(seed)
    killing = Killing(folder, dice)
    order = ["phone"] * phone_kills + ["server"] * server_kills
    dice.shuffle(order)
    for one in order:
        killing.kill_server() if one == "server" else killing.kill_phone()
    killing.end()
    return killing
