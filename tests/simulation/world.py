"""Three phones, two farms, one server, and everything that may happen to them, each a step with plain arguments, so
that a schedule is a list that can be kept and replayed.

After every step nothing shown as saved is missing (I1, I2), nothing is kept twice (I3) and lines are gapless with
heads that recompute (I4). ``healing`` says what holds in the end.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, BinaryIO
from uuid import UUID

import pytest
from django.db import connection

from mobile.actions.carry_file import carry_file
from mobile.actions.choose_person import choose_person, people
from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_slip
from mobile.actions.roll_token import roll_when_old
from mobile.actions.send_photos import send_photos
from mobile.ports import Enrolment
from mobile.trouble import BookTrouble, NothingWaits
from server.intake import again, carried, desk
from server.intake.desk import Draft
from server.land.writes import put_town
from server.people import slips, tokens, writes
from server.people.models import Person, Phone
from shared.errors import BadCarry, Fork
from shared.sync.chain import NO_HEAD, next_head
from shared.wire.carry import read_carry
from shared.wire.lines import sha
from shared.words.bodies.told import Note
from tests.mobile.fake_server import ADDRESS
from tests.mobile.kit import cover, note
from tests.server.ground import START, Ground, found
from tests.simulation.handset import APP, OLD_APP, Handset
from tests.simulation.reader import Reader, joined_reader
from tests.simulation.server_end import Crash, ServerEnd
from tests.simulation.stores import Store
from tests.simulation.writing import NEWCOMERS, Writing

FAST = "/dev/shm" if Path("/dev/shm").is_dir() else None
"""In memory where there is such a place: a crash here is of a process, not of a disk."""
PHONES = (("red", (0,)), ("blue", (0, 1)), ("green", (1,)))
Step = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """How every schedule begins: two farms, three phones that have joined, somebody who reads each farm's book."""

    folder: Path
    book: Store
    now: datetime
    grounds: tuple[Ground, Ground]
    tokens: tuple[str, str]


def lay(folder: Path, empty: Store) -> Laid:
    server = ServerEnd(folder / "server", empty, 0, START)
    first, second = (found(f"Farm {place}", server.tick()) for place in (1, 2))
    grounds = (first, second)
    for place, (name, farms) in enumerate(PHONES, 1):
        handset = Handset(folder, server, name, place)
        for farm in farms:
            join_farm(handset, grounds[farm], server.tick())
        handset.keep_image()
        handset.phone.book.close()
    tokens = tuple(joined_reader(server, one) for one in grounds)
    return Laid(folder, server.stop(), server.now, grounds, tokens)  # type: ignore[arg-type]


def join_farm(handset: Handset, ground: Ground, now: datetime) -> int:
    code = slips.make_slip(ground.farm.id, now)
    at = join(handset.phone, read_slip(code, ADDRESS)).id
    choose_person(handset.phone, at, people(handset.phone, at)[-1].id)
    return at


class World(Writing):
    """``saved[farm]`` are the shas that were shown as saved and must be somewhere, each with what it must become:
    *kept*, *held*, or *either*. ``ever`` are all that any phone of the farm wrote."""

    def __init__(self, laid: Laid, seed: int = 1) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="goodground-simulation-", dir=FAST))
        for file in laid.folder.glob("*.sqlite"):
            shutil.copy(file, self.folder)
            (self.folder / file.name).with_suffix(".ballast").touch()
        self.server = ServerEnd(self.folder / "server", laid.book, seed, laid.now)
        self.grounds = laid.grounds
        self.saved: list[dict[str, str]] = [{}, {}]
        self.ever: list[set[str]] = [set(), set()]
        self.lost: list[set[str]] = [set(), set()]
        self.dropped: list[set[str]] = [set(), set()]
        self.seen: set[str] = set()
        self.handsets = [
            Handset(self.folder, self.server, name, 1_000 * seed + place)
            for place, (name, _) in enumerate(PHONES, 1)
        ]
        for handset in self.handsets:
            for who in handset.phone.book.enrolments():
                handset.farms[self.farm_of(who.farm.id)] = who.id
            handset.keep_image()
        self.readers = [Reader(self, farm, token) for farm, token in enumerate(laid.tokens)]

    def farm_of(self, id: UUID) -> int:
        return [one.farm.id for one in self.grounds].index(id)

    def close(self) -> None:
        for one in self.handsets:
            one.phone.book.close()
        self.server.store.done_with()
        shutil.rmtree(self.folder)

    def do(self, step: Step) -> None:
        name, *arguments = step
        getattr(self, name)(*arguments)
        for handset in self.handsets:
            handset.settle()
        self.server.settle()
        self.check_always()

    def run(self, steps: Sequence[Step]) -> None:
        for step in steps:
            self.do(step)

    def join(self, handset: Handset, farm: int) -> None:
        handset.farms[farm] = join_farm(handset, self.grounds[farm], self.server.tick())

    # what people do

    def day(self, which: int, farm: int, count: int, faults: Sequence[str]) -> None:
        """What happens most: some entries, a handing in on a bad network, another on a good one."""
        self.save(which, farm, count)
        self.sync(which, farm, faults)
        self.handsets[which].settle()
        self.sync(which, farm, ())

    # handing in

    def sync(self, which: int, farm: int, faults: Sequence[str]) -> None:
        handset, own, at = self.at(which, farm)
        handset.network.faults = list(faults)
        before = handset.shas(own)
        try:
            self._handed_in(handset, own, at)
        except Crash:
            self.seen.add("crash")
            handset.restart()
        except BookTrouble as trouble:
            self.seen.add(trouble.code)
        handset.network.faults = []
        self.dropped[own] |= before - handset.shas(own)
        if handset.phone.book.enrolment(at).standing == "forgotten":
            self.seen.add("forgotten")
            handset.settle()
            self.server.settle()
            self.join(handset, own)

    def _handed_in(self, handset: Handset, own: int, at: int) -> None:
        before = handset.phone.book.enrolment(at).cursor
        done = hand_in(handset.phone, at, handset.paces.get(at))
        handset.paces[at] = done.pace
        self.seen.update((done.heard, *filter(None, [done.code])))
        if done.is_whole:
            roll_when_old(handset.phone, at)
            send_photos(handset.phone, at)
        after = handset.phone.book.enrolment(at).cursor
        if before and after != before:
            self.seen.add("moved")

    def sync_crash(self, which: int, farm: int, commits: int, when: str) -> None:
        """The phone ends at one of its own commits on the way."""
        self.handsets[which].crash(commits, when)
        self.sync(which, farm, ())

    def server_crash(self, which: int, farm: int, commits: int, when: str) -> None:
        """The server ends at one of its commits while a phone hands in."""
        self.server.crash(commits, when)
        self.sync(which, farm, ())

    def save_crash(self, which: int, farm: int, when: str) -> None:
        """The phone ends while it saves: it showed nothing as saved, and it may be there or not."""
        handset, own, at = self.at(which, farm)
        handset.crash(0, when)
        before = handset.shas(own)
        try:
            cover(handset.phone, at)
        except Crash:
            handset.restart()
            new = handset.shas(own) - before
            assert bool(new) == (when == "after")
            for one in new:
                self.note_saved(own, one)

    def full(self, which: int, farm: int) -> None:
        """The phone's disk fills: what is refused was not shown as saved, and what was there stays."""
        handset, own, at = self.at(which, farm)
        before = handset.shas(own)
        handset.fill(True)
        try:
            for _ in range(30):
                done = note(handset.phone, at, "x" * 1_500)
                self.note_saved(own, done.sha)
                before.add(done.sha)
        except BookTrouble as trouble:
            self.seen.add(trouble.code)
        self.sync(which, farm, ())
        assert before <= handset.shas(own) | set(book_shas(self, own))
        handset.fill(False)
        handset.restart()

    def deliver_late(self) -> None:
        """A request that its phone gave up arrives after all."""
        for handset in self.handsets:
            if handset.network.under_way:
                handset.network.deliver_quietly(handset.network.under_way.pop(0))
                self.seen.add("late")

    def carry(self, which: int, farm: int) -> None:
        """What waits goes by file. Of a stopped phone an owner has to say that it may."""
        handset, own, at = self.at(which, farm)
        try:
            told = carry_file(handset.phone, at, self.folder)
        except NothingWaits:
            return
        with told.file.open("rb") as file:
            self._taken(handset, own, file, handset.phone.book.enrolment(at))
        told.file.unlink()
        self.seen.add("carried")

    def _taken(self, handset: Handset, own: int, file: BinaryIO, who: Enrolment) -> None:
        farm = self.grounds[own].farm.id
        with pytest.raises(BadCarry):
            carried.take(self.grounds[1 - own].farm.id, file, self.server.tick())
        row = Phone.objects.filter(id=who.phone).first()
        if row is not None and row.token_sha is not None and self._is_unsealed(row, who):
            with pytest.raises(BadCarry):
                carried.take(farm, file, self.server.tick(), leave=True)
            return
        stopped = row is None or row.stopped_at is not None
        if stopped:
            with pytest.raises(carried.CarryNeedsLeave):
                carried.take(farm, file, self.server.tick())
            for raw in read_carry(file).lines:
                self.saved[own][sha(raw)] = "either"
        try:
            for _ in range(2):
                carried.take(farm, file, self.server.tick(), leave=stopped)
        except Fork:
            self.seen.add("carried fork")

    def _is_unsealed(self, row: Phone, who: Enrolment) -> bool:
        """A server put back to before a token was rolled can't tell the phone's seal: it has to join again."""
        return writes.sha_of(who.link.token) not in (row.token_sha, row.next_sha)

    # what happens to phones and server

    def grow_old(self, which: int, farm: int) -> None:
        """What stands in a backup and is old leaves the phone (W10)."""
        self.back_up()
        self.save(which, farm, 1)
        self.sync(which, farm, ())
        self.jump(which, 2 * 525_600)
        self.save(which, farm, 1)
        self.sync(which, farm, ())
        _, own, _ = self.at(which, farm)
        if self.dropped[own]:
            self.seen.add("grown old")

    def restart(self, which: int) -> None:
        self.handsets[which].restart()

    def jump(self, which: int, minutes: int) -> None:
        """I10: a wall clock between 1980 and 2090."""
        clock = self.handsets[which].phone.clock
        if 1980 < (clock.now() + timedelta(minutes=minutes)).year < 2090:
            clock.jump(timedelta(minutes=minutes))  # type: ignore[attr-defined]

    def server_jump(self, minutes: int) -> None:
        if 2020 < (self.server.now + timedelta(minutes=minutes)).year < 2090:
            self.server.now += timedelta(minutes=minutes)

    def old_app(self, which: int, farm: int, count: int) -> None:
        """A phone that nobody brought up to date hands in what is written on it, and fetches nothing (W17)."""
        handset, own, at = self.at(which, farm)
        handset.wear(OLD_APP)
        self.save(which, farm, count)
        before, cursor = set(book_shas(self, own)), handset.phone.book.enrolment(at).cursor
        self.sync(which, farm, ())
        after = handset.phone.book.enrolment(handset.farms[own]).cursor
        assert after in (cursor, ""), "W17: an app that is too old has fetched"
        assert before <= set(book_shas(self, own))

    def new_app(self, which: int) -> None:
        self.handsets[which].wear(APP)

    def keep_image(self, which: int) -> None:
        self.handsets[which].keep_image()

    def put_back(self, which: int) -> None:
        """What was saved since the copy and stands nowhere else is lost with the phone: not the contract's to keep."""
        handset = self.handsets[which]
        if handset.image is None:
            return
        before = {farm: handset.shas(farm) for farm in handset.farms}
        handset.put_back()
        for farm, was in before.items():
            self.lost[farm] |= was - handset.shas(farm)
            self._forget_lost(farm)
        self.seen.add("put_back")

    def back_up(self) -> None:
        self.server.back_up()

    def restore(self) -> None:
        """Lost with it may be only what a phone put back from a copy had had: both copies are gone then."""
        if self.server.backup is None:
            self.back_up()
            return
        self.server.put_back()
        for farm in (0, 1):
            self._forget_lost(farm)
        self.seen.add("restore")

    def restore_first(self) -> None:
        """From a backup older than the last: what phones dropped on the strength of a later one is lost with it."""
        if self.server.first_backup is None:
            return
        self.server.put_back(self.server.first_backup)
        for farm in (0, 1):
            self.lost[farm] |= self.dropped[farm]
            self._forget_lost(farm)
        self.seen.add("restore")

    def _forget_lost(self, farm: int) -> None:
        nowhere = self.lost[farm] - self.everywhere(farm)
        self.saved[farm] = {one: becomes for one, becomes in self.saved[farm].items() if one not in nowhere}

    def stop(self, which: int, farm: int) -> None:
        handset, _, at = self.at(which, farm)
        for one in Phone.objects.filter(id=handset.phone.book.enrolment(at).phone):
            tokens.stop(one, self.server.tick())

    def go_on(self, which: int, farm: int) -> None:
        handset, _, at = self.at(which, farm)
        for one in Phone.objects.filter(id=handset.phone.book.enrolment(at).phone):
            tokens.go_on(one)

    # what the desk does

    def edit(self, farm: int, what: str) -> None:
        """Reference rows change, and the desk writes."""
        ground, at = self.grounds[farm], self.server.tick()
        if what == "town":
            put_town(ground.farm.id, at, name="Fallowdale")
        elif what == "newcomer":
            self.welcome(farm)
        elif what == "person":
            ground.crew.refresh_from_db()
            writes.change_person(ground.crew, language="en" if ground.crew.language == "es" else "es")
        else:
            desk.write(ground.farm.id, ground.owner.id, [Draft(Note(text="seen"))], at)

    def welcome(self, farm: int) -> None:
        """Somebody new on the farm, or back after a restore that did not know of them."""
        if not Person.objects.filter(id=NEWCOMERS[farm]).exists():
            writes.add_person(
                self.grounds[farm].farm.id, self.server.tick(), NEWCOMERS[farm], name="Cato Vale", role="crew"
            )

    def read_again(self, farm: int) -> None:
        again.read_again(self.grounds[farm].farm.id, self.server.tick())

    def read(self, farm: int) -> None:
        self.readers[farm].read()

    # what holds at every moment

    def everywhere(self, farm: int) -> set[str]:
        phones = [one.shas(farm) for one in self.handsets if farm in one.farms]
        return set(book_shas(self, farm)).union(*phones)

    def check_always(self) -> None:
        for farm in (0, 1):
            there = book_shas(self, farm)
            assert len(there) == len(set(there)), "I3: an entry stands twice in the book"
            missing = self.saved[farm].keys() - self.everywhere(farm)
            assert not missing, f"I1, I2: {len(missing)} entries shown as saved are nowhere"
        for handset in self.handsets:
            for at in handset.farms.values():
                check_lines(handset, at)


def book_shas(world: World, farm: int) -> list[str]:
    """The shas of what the farm's book keeps or holds; what was read again has its bytes under its new number."""
    farm_id = world.grounds[farm].farm.id
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT sha FROM book_row WHERE farm_id = %s AND outcome IN ('kept', 'held') AND number NOT IN"
            " (SELECT again_of FROM book_row WHERE farm_id = %s AND again_of IS NOT NULL)",
            [farm_id if connection.features.has_native_uuid_field else farm_id.hex] * 2,
        )
        return [one for (one,) in cursor.fetchall()]


def check_lines(handset: Handset, at: int) -> None:
    rows = handset.disk.many("SELECT line, sha, head FROM entries WHERE enrolment = ? ORDER BY line", (at,))
    head = NO_HEAD if not rows or rows[0][0] == 1 else None
    for before, (line, one, kept) in zip([None, *rows], rows, strict=False):
        assert before is None or line == before[0] + 1, "I4: a gap in a phone's lines"
        assert head is None or kept == next_head(head, one), "I4: a head that does not recompute"
        head = kept
