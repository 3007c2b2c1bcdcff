"""A state machine of phones against the fake server: real storage on real files, real transport, real bytes.

The network drops requests and answers, repeats, cuts and refuses; phones crash between any two commits and are
copied and put back; the server is restored; clocks jump. After every step nothing saved is missing (I2), lines are
gapless with heads that recompute (I4); once the world heals every entry is kept once (I3) and the book is whole.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from uuid import UUID

import requests
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from mobile.actions.choose_person import choose_person, people
from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_slip
from mobile.actions.roll_token import roll_when_old
from mobile.ports import Phone
from shared.sync.chain import NO_HEAD, next_chain, next_head
from shared.sync.outbox import Pace
from tests.mobile.fake_server import ADDRESS, Answer, FakeServer, State, problem
from tests.mobile.kit import a_phone, cover, note

FAST = "/dev/shm" if Path("/dev/shm").is_dir() else None
"""In memory where there is such a place: a crash here is of the process, not of the disk."""
EXAMPLES = 50
STEPS = 40


class Crash(BaseException):
    """The phone's process ends here."""


class Fault:
    """What the next requests meet, one each; then all is well."""

    def __init__(self) -> None:
        self.next: list[str] = []

    def __call__(self, request: requests.PreparedRequest, go: Callable[[], Answer]) -> Answer:
        fault = self.next.pop(0) if self.next else "well"
        if fault == "drop_request":
            raise requests.ConnectionError
        if fault == "crash_before":
            raise Crash
        if fault in REFUSALS:
            return problem(*REFUSALS[fault])
        answer = go()
        if fault == "drop_answer":
            raise requests.ReadTimeout
        if fault == "crash_after":
            raise Crash
        if fault == "twice":
            return go()
        if fault == "cut":
            whole = {"Content-Length": str(len(answer.content))}
            return Answer(answer.status, answer.content[: len(answer.content) // 2], answer.headers | whole)
        return answer


REFUSALS = {
    "bad_frame": (400, "bad_frame"),
    "too_large": (413, "too_large"),
    "forbidden": (403, "forbidden"),
    "busy": (429, "busy"),
    "server_error": (500, "server_error"),
}
FAULTS = ["drop_request", "drop_answer", "crash_before", "crash_after", "twice", "cut", "well", *REFUSALS]


class Handset:
    """One phone with what it has shown as saved, across crashes and copies."""

    def __init__(self, folder: Path, server: FakeServer, name: str, seed: int) -> None:
        self.folder, self.server, self.name, self.seed = folder, server, name, seed
        self.fault = Fault()
        self.pace = Pace()
        self.at = 0
        self.phone: Phone = a_phone(folder, server, self.fault, seed, name)

    @property
    def file(self) -> Path:
        return self.folder / f"{self.name}.sqlite"

    def restart(self) -> None:
        self.phone.book.close()
        self.seed += 100
        clock = self.phone.clock
        self.phone = replace(a_phone(self.folder, self.server, self.fault, self.seed, self.name), clock=clock)
        self.pace = Pace()

    def image(self) -> bytes:
        self.phone.book.disk.one("PRAGMA wal_checkpoint(TRUNCATE)")
        return self.file.read_bytes()

    def put_back(self, image: bytes) -> None:
        self.phone.book.close()
        for end in ("-wal", "-shm"):
            Path(f"{self.file}{end}").unlink(missing_ok=True)
        self.file.write_bytes(image)
        self.restart()


class Machine(RuleBasedStateMachine):
    coverage: dict[str, int]

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="goodground-machine-", dir=FAST))
        self.server = FakeServer()
        self.farm = self.server.found().id
        self.handsets: list[Handset] = []
        self.saved: set[UUID] = set()
        self.gone: set[UUID] = set()
        self.images: dict[str, tuple[bytes, set[UUID]]] = {}
        self.backup: State | None = None
        self.joined = 0
        self.seen: set[str] = set()

    @initialize()
    def begin(self) -> None:
        for seed, name in enumerate(("red", "blue"), start=1):
            handset = Handset(self.folder, self.server, name, seed)
            self.handsets.append(handset)
            self._join(handset)
            self.saved.add(cover(handset.phone, handset.at).entry.id)
            self.images[name] = (handset.image(), self._on_phone(handset))
        self.backup = self.server.backup()

    def _join(self, handset: Handset) -> None:
        self.joined += 1
        code = f"{self.joined:010d}"
        self.server.slip(self.server.state.farms[self.farm], code)
        handset.at = join(handset.phone, read_slip(code, ADDRESS)).id
        choose_person(handset.phone, handset.at, people(handset.phone, handset.at)[0].id)

    @rule(which=st.integers(0, 1), count=st.integers(1, 4))
    def save(self, which: int, count: int) -> None:
        handset = self.handsets[which]
        for _ in range(count):
            self.saved.add(cover(handset.phone, handset.at).entry.id)

    @rule(which=st.integers(0, 1), size=st.integers(1, 40_000))
    def save_long(self, which: int, size: int) -> None:
        handset = self.handsets[which]
        self.saved.add(note(handset.phone, handset.at, "x" * size).entry.id)

    @rule(which=st.integers(0, 1), faults=st.lists(st.sampled_from(FAULTS), max_size=4))
    def sync(self, which: int, faults: list[str]) -> None:
        self._sync(self.handsets[which], faults)

    @rule(which=st.integers(0, 1), faults=st.lists(st.sampled_from(FAULTS), max_size=2))
    def day(self, which: int, faults: list[str]) -> None:
        """What happens most: some entries, then handing in."""
        self.save(which, 3)
        self._sync(self.handsets[which], faults)
        self._sync(self.handsets[which], [])

    def _sync(self, handset: Handset, faults: list[str]) -> None:
        handset.fault.next = list(faults)
        try:
            done = hand_in(handset.phone, handset.at, handset.pace)
            handset.pace = done.pace
            self.seen.add(done.heard)
            if done.is_whole:
                roll_when_old(handset.phone, handset.at)
        except Crash:
            self.seen.add("crash")
            handset.restart()
        finally:
            handset.fault.next = []
        if handset.phone.book.enrolment(handset.at).standing == "forgotten":
            self.seen.add("forgotten")
            self._join(handset)

    @rule(which=st.integers(0, 1))
    def restart(self, which: int) -> None:
        self.handsets[which].restart()

    @rule(which=st.integers(0, 1), days=st.integers(-20_000, 20_000))
    def jump(self, which: int, days: int) -> None:
        """I10: a wall clock between 1980 and 2090."""
        clock = self.handsets[which].phone.clock
        if 1980 < (clock.now() + timedelta(days=days)).year < 2090:
            clock.jump(timedelta(days=days))

    @rule(which=st.integers(0, 1))
    def keep_image(self, which: int) -> None:
        handset = self.handsets[which]
        self.images[handset.name] = (handset.image(), self._on_phone(handset))

    @precondition(lambda self: self.images)
    @rule(which=st.integers(0, 1))
    def phone_put_back(self, which: int) -> None:
        """What was saved since the copy and is nowhere else is lost with the phone: not the contract's to keep."""
        handset = self.handsets[which]
        if handset.name in self.images:
            image, on_image = self.images[handset.name]
            gone = self._on_phone(handset) - on_image
            self.gone |= gone
            self.saved -= gone - self._in_book() - self._on_others(handset)
            handset.put_back(image)
            self.seen.add("phone_put_back")

    @rule()
    def back_up(self) -> None:
        self.backup = self.server.backup()

    @precondition(lambda self: self.backup is not None)
    @rule()
    def restore(self) -> None:
        """Lost with it may be only what a phone put back from a copy had: both copies are gone then."""
        self.server.restore(self.backup)
        everywhere = self._in_book() | set().union(*(self._on_phone(one) for one in self.handsets))
        self.saved -= self.gone - everywhere
        self.seen.add("restore")

    # The rules that matter most stand twice: drawn evenly, a schedule seldom comes to a restore with something lost.
    @rule(which=st.integers(0, 1), count=st.integers(1, 4))
    def save_more(self, which: int, count: int) -> None:
        self.save(which, count)

    @rule(which=st.integers(0, 1))
    def phone_put_back_again(self, which: int) -> None:
        self.phone_put_back(which)

    @rule()
    def restore_again(self) -> None:
        self.restore()

    def _on_phone(self, handset: Handset) -> set[UUID]:
        return {one.id for one in handset.phone.book.since(handset.at, 1)}

    def _on_others(self, handset: Handset) -> set[UUID]:
        return set().union(*(self._on_phone(one) for one in self.handsets if one is not handset))

    def _in_book(self) -> set[UUID]:
        return {id for _, _, id in self.server.state.farms[self.farm].rows if id is not None}

    @invariant()
    def i2_every_saved_entry_is_on_its_phone_or_in_the_book(self) -> None:
        there = self._in_book().union(*(self._on_phone(one) for one in self.handsets))
        assert self.saved <= there

    @invariant()
    def i4_lines_are_gapless_and_heads_recompute(self) -> None:
        for handset in self.handsets:
            head = NO_HEAD
            lines = handset.phone.book.since(handset.at, 1)
            if lines and lines[0].line > 1:
                continue
            for place, one in enumerate(lines, start=1):
                head = next_head(head, one.sha)
                assert one.line == place
                assert handset.phone.book.head(handset.at, place) == head

    @invariant()
    def i3_no_id_is_kept_twice(self) -> None:
        kept = self.server.kept(self.server.state.farms[self.farm])
        assert len(kept) == len(set(kept))

    def teardown(self) -> None:
        if self.handsets:
            for _ in range(30):
                for handset in self.handsets:
                    self._sync(handset, [])
                if all(one.phone.book.enrolment(one.at).waiting == 0 for one in self.handsets):
                    break
            self._healed()
        for one in self.handsets:
            one.phone.book.close()
        shutil.rmtree(self.folder)
        Machine.coverage["schedules"] += 1
        Machine.coverage["stored"] += bool(self._in_book())
        for heard in self.seen:
            Machine.coverage[heard] = Machine.coverage.get(heard, 0) + 1

    def _healed(self) -> None:
        farm = self.server.state.farms[self.farm]
        assert set(self.server.kept(farm)) >= {id for id in self.saved if farm.by_id.get(id) is not None}
        refused = {row.sha for row, _, _ in farm.rows if row.outcome == "refused"}
        for handset in self.handsets:
            assert handset.phone.book.enrolment(handset.at).waiting == 0
            for one in handset.phone.book.since(handset.at, 1):
                assert one.state in ("kept", "held") or one.sha in refused
                if one.state == "kept":
                    assert farm.rows[one.number - 1][0].sha == one.sha
        assert self.saved <= set(self.server.kept(farm)) | {
            one.id for each in self.handsets for one in each.phone.book.needing_hand(each.at)
        }
        chain = farm.chains[0]
        for place, (row, _, _) in enumerate(farm.rows, start=1):
            chain = next_chain(chain, row)
            assert (row.number, farm.chains[place]) == (place, chain)


def test_i2_i3_i4_i9_whatever_happens_on_the_way_every_entry_is_kept_once() -> None:
    Machine.coverage = {"schedules": 0, "stored": 0}
    run_state_machine_as_test(
        Machine, settings=settings(max_examples=EXAMPLES, stateful_step_count=STEPS, deadline=None)
    )
    had = Machine.coverage
    assert had["stored"] >= had["schedules"] / 2, had
    for heard in ("settled", "no_answer", "crash", "phone_put_back", "restore"):
        assert had.get(heard, 0) >= had["schedules"] / 10, (heard, had)
