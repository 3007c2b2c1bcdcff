"""Handing in and fetching: everything that can be heard, and that nothing is ever lost by it (I2 to I9, I11)."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from math import ceil
from pathlib import Path

import pytest
import requests

from mobile.actions.hand_in import Pass, hand_in
from mobile.actions.save_entry import NewEntry, save_entries
from mobile.ports import Phone
from mobile.storage import PhoneBook
from shared.sync.outbox import Pace
from shared.wire import lines
from shared.words.bodies.told import Note
from tests.mobile.fake_server import Answer, problem, wired
from tests.mobile.kit import Walked, a_phone, cover, note, rejoined, walked

Go = Callable[[], Answer]


class Script:
    """What lies on the way, told beforehand: each request takes the next; after them all is well."""

    def __init__(self) -> None:
        self.steps: list[Callable[[Go], Answer]] = []

    def __call__(self, request: requests.PreparedRequest, go: Go) -> Answer:
        return self.steps.pop(0)(go) if self.steps else go()

    def then(self, *steps: Callable[[Go], Answer]) -> None:
        self.steps += steps


def silence(go: Go) -> Answer:
    raise requests.ConnectionError


def lost_answer(go: Go) -> Answer:
    go()
    raise requests.ReadTimeout


def half_a_body(go: Go) -> Answer:
    whole = go()
    headers = whole.headers | {"Content-Length": str(len(whole.content))}
    return Answer(whole.status, whole.content[: len(whole.content) // 2], headers)


def twice(go: Go) -> Answer:
    go()
    return go()


def always(answer: Answer) -> Callable[[Go], Answer]:
    return lambda go: answer


@pytest.fixture
def way() -> Script:
    return Script()


@pytest.fixture
def at_work(tmp_path: Path, way: Script) -> Walked:
    return walked(tmp_path, way)


def heal(phone: Phone, at: int, passes: int = 12) -> Pass:
    """Passes until one is whole."""
    pace = Pace()
    for _ in range(passes):
        done = hand_in(phone, at, pace)
        if done.is_whole:
            return done
        pace = done.pace
    raise AssertionError(f"not whole after {passes} passes: {done}")


def test_all_that_waits_is_kept_once_in_order_and_told_with_its_number(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    saved = [cover(phone, at).entry.id for _ in range(12)]
    done = hand_in(phone, at)
    assert (done.is_whole, done.sent) == (True, 12)
    assert server.kept(farm) == saved
    assert [one.number for one in phone.book.written(at)[::-1]] == list(range(1, 13))
    assert phone.book.enrolment(at).handed_at is not None


@pytest.mark.parametrize(
    ("fault", "heard", "code"),
    [
        (silence, "no_answer", None),
        (lost_answer, "no_answer", None),
        (half_a_body, "no_answer", None),
        (always(Answer(200, b"<html>pay for the network</html>", {})), "no_answer", None),
        (always(Answer(200, b'{"results":[]}', {})), "no_answer", None),
        (always(Answer(302, b"", {"Location": "http://127.0.0.1:9/"})), "no_answer", None),
        (always(Answer(404, b"", {})), "no_answer", None),
        (always(Answer(500, b"trace", {})), "server_error", None),
        (always(Answer(502, b"", {})), "server_error", None),
        (always(problem(503, "down")), "server_error", "down"),
        (always(problem(400, "bad_frame")), "bad_frame", "bad_frame"),
        (always(problem(413, "too_large")), "too_large", "too_large"),
        (always(problem(403, "not_yours")), "forbidden", "not_yours"),
        (always(Answer(401, b"who are you", {})), "forbidden", None),
        (always(Answer(409, b"no", {})), "no_answer", None),
        (always(problem(429, "slow_down")), "busy", "slow_down"),
    ],
)
def test_i2_w5_whatever_is_heard_nothing_leaves_the_outbox_until_it_is_answered_for(
    at_work: Walked, way: Script, fault: Callable[[Go], Answer], heard: str, code: str | None
) -> None:
    phone, server, farm, at = at_work
    saved = [cover(phone, at).entry.id for _ in range(3)]
    way.then(fault)
    done = hand_in(phone, at)
    assert (done.heard, done.move, done.code) == (heard, "wait", code)
    assert done.pace.failures == 1
    assert phone.book.enrolment(at).waiting == 3
    assert heal(phone, at).is_whole
    assert server.kept(farm) == saved
    assert phone.book.enrolment(at).waiting == 0


def test_i9_a_request_that_arrives_twice_is_kept_once(at_work: Walked, way: Script) -> None:
    phone, server, farm, at = at_work
    saved = [cover(phone, at).entry.id for _ in range(3)]
    way.then(twice)
    hand_in(phone, at)
    assert server.kept(farm) == saved
    assert [(one.state, one.number) for one in phone.book.written(at)] == [("kept", n) for n in (3, 2, 1)]


def test_w18_retry_after_is_told_and_the_batch_is_halved_on_silence_down_to_one(
    at_work: Walked, way: Script
) -> None:
    phone, _, _, at = at_work
    for _ in range(9):
        cover(phone, at)
    busy = problem(429, "slow_down")
    busy.headers["Retry-After"] = "77"
    way.then(lambda go: busy)
    assert hand_in(phone, at).retry_after_s == 77.0
    sizes, pace = [], Pace()
    for _ in range(6):
        way.then(silence)
        pace = hand_in(phone, at, pace).pace
        sizes.append(pace.lines)
    assert sizes == [4, 2, 1, 1, 1, 1]
    assert pace.failures == 6


def test_i7_a_line_that_no_server_takes_stays_on_the_phone_and_blocks_no_other(
    at_work: Walked, way: Script
) -> None:
    """A server that answers 500 to whatever holds this one entry."""
    phone, server, farm, at = at_work
    before, poison, behind = cover(phone, at), note(phone, at, "poison"), cover(phone, at)

    def between(request: requests.PreparedRequest, go: Go) -> Answer:
        sent = gzip.decompress(request.body) if request.url.endswith("entries/") else b""
        return Answer(500, b"") if b'"poison"' in sent else go()

    phone = replace(phone, server=wired(server, between))
    heal(phone, at)
    assert server.kept(farm) == [before.entry.id, behind.entry.id]
    (left,) = phone.book.needing_hand(at)
    assert (left.id, left.state, left.code) == (poison.entry.id, "refused", "too_large")
    assert left.raw == lines.encode(poison.entry)
    assert phone.book.enrolment(at).waiting == 0


def test_i7_a_held_entry_changes_no_others_outcome(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    first = cover(phone, at).entry.id
    twin = cover(phone, at).entry
    server.state.farms[farm.id].by_id[twin.id] = "0" * 64
    last = cover(phone, at).entry.id
    hand_in(phone, at)
    assert server.kept(farm) == [first, last]
    (held,) = phone.book.needing_hand(at)
    assert (held.id, held.state, held.code) == (twin.id, "held", "id_conflict")


def test_w8_a_gap_is_put_back_from_the_line_that_the_server_expects(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    saved = [cover(phone, at).entry.id for _ in range(2)]
    hand_in(phone, at)
    backup = server.backup()
    saved += [cover(phone, at).entry.id for _ in range(3)]
    hand_in(phone, at)
    server.restore(backup)
    saved.append(cover(phone, at).entry.id)
    assert hand_in(phone, at).is_whole
    assert server.kept(farm) == saved
    assert [one.number for one in phone.book.written(at)[::-1]] == [1, 2, 3, 4, 5, 6]


def test_i11_w12_an_idle_phone_notices_a_restored_server_and_puts_back(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    hand_in(phone, at)
    backup = server.backup()
    saved = [cover(phone, at).entry.id for _ in range(3)]
    hand_in(phone, at)
    server.restore(backup)
    assert hand_in(phone, at).is_whole
    assert server.kept(farm) == saved


def test_w8_a_copied_phone_enrols_again_and_all_of_both_is_kept_once(tmp_path: Path, at_work: Walked) -> None:
    phone, server, farm, at = at_work
    shared = [cover(phone, at).entry.id for _ in range(2)]
    phone.book.disk.one("PRAGMA wal_checkpoint(TRUNCATE)")
    (tmp_path / "copy.sqlite").write_bytes((tmp_path / "phone.sqlite").read_bytes())
    copied = replace(
        a_phone(tmp_path, server, seed=5, name="other"), book=PhoneBook(tmp_path / "copy.sqlite")
    )
    mine = [cover(phone, at).entry.id for _ in range(2)]
    theirs = [cover(copied, at).entry.id for _ in range(3)]
    hand_in(phone, at)
    assert hand_in(copied, at).is_whole
    assert server.kept(farm) == shared + mine + theirs
    first, second = phone.book.enrolment(at), copied.book.enrolment(at)
    assert first.phone != second.phone
    assert server.state.phones[first.phone].copied
    assert hand_in(phone, at).is_whole


def test_i11_an_idle_copy_notices_that_the_other_went_on(tmp_path: Path, at_work: Walked) -> None:
    phone, server, farm, at = at_work
    cover(phone, at)
    hand_in(phone, at)
    phone.book.disk.one("PRAGMA wal_checkpoint(TRUNCATE)")
    (tmp_path / "copy.sqlite").write_bytes((tmp_path / "phone.sqlite").read_bytes())
    copied = replace(
        a_phone(tmp_path, server, seed=5, name="other"), book=PhoneBook(tmp_path / "copy.sqlite")
    )
    cover(phone, at)
    hand_in(phone, at)
    assert hand_in(copied, at).is_whole
    assert phone.book.enrolment(at).phone != copied.book.enrolment(at).phone
    assert len(server.kept(farm)) == 2


def test_a_phone_put_back_from_a_copy_that_writes_anew_loses_neither(tmp_path: Path, at_work: Walked) -> None:
    """The same phone number, the same lines, other entries (the twin of a re-used sequence number)."""
    phone, server, farm, at = at_work
    cover(phone, at)
    hand_in(phone, at)
    phone.book.disk.one("PRAGMA wal_checkpoint(TRUNCATE)")
    backup = (tmp_path / "phone.sqlite").read_bytes()
    for _ in range(2):
        cover(phone, at)
    hand_in(phone, at)
    phone.book.close()
    for name in ("phone.sqlite-wal", "phone.sqlite-shm"):
        (tmp_path / name).unlink(missing_ok=True)
    (tmp_path / "phone.sqlite").write_bytes(backup)
    restored = a_phone(tmp_path, server, seed=6)
    new = [cover(restored, at).entry.id for _ in range(2)]
    assert hand_in(restored, at).is_whole
    assert len(server.kept(farm)) == 5
    assert server.kept(farm)[-2:] == new


def test_w4b_without_a_door_to_enrol_again_a_fork_stops_says_so_and_keeps_all(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    server.enrols_again = False
    cover(phone, at)
    server.state.phones[phone.book.enrolment(at).phone].heads += ["f" * 64]
    done = hand_in(phone, at)
    assert (done.move, done.is_whole) == ("enrol_again", False)
    assert phone.book.enrolment(at).standing == "copied"
    assert phone.book.enrolment(at).waiting == 1
    cover(phone, at)
    server.enrols_again = True
    assert heal(phone, at).is_whole
    assert phone.book.enrolment(at).standing == "live"
    assert len(server.kept(farm)) == 2


def test_w4b_a_lost_answer_to_enrolling_again_makes_no_second_phone(at_work: Walked, way: Script) -> None:
    phone, server, farm, at = at_work
    cover(phone, at)
    server.state.phones[phone.book.enrolment(at).phone].heads += ["f" * 64]
    way.then(lambda go: go(), lost_answer)
    assert not hand_in(phone, at).is_whole
    assert heal(phone, at).is_whole
    assert len(server.state.phones) == 2
    assert len(server.kept(farm)) == 1


def test_w5_a_stopped_phone_is_sealed_keeps_recording_and_goes_on_once_let_in_again(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    one = server.state.phones[phone.book.enrolment(at).phone]
    one.stopped = True
    saved = [cover(phone, at).entry.id]
    assert hand_in(phone, at).move == "seal"
    assert phone.book.enrolment(at).standing == "stopped"
    saved.append(cover(phone, at).entry.id)
    one.stopped = False
    assert hand_in(phone, at).is_whole
    assert phone.book.enrolment(at).standing == "live"
    assert server.kept(farm) == saved


def test_i8_an_outbox_empties_in_as_few_requests_as_promised(at_work: Walked) -> None:
    phone, server, _farm, at = at_work
    for _ in range(60):
        note(phone, at, "x" * 1_500)
    server.requests.clear()
    hand_in(phone, at)
    assert len(server.requests) <= ceil(60 / 500) + 3


def test_i8_entries_of_nearly_two_kib_go_five_hundred_at_a_time(at_work: Walked) -> None:
    phone, server, _, at = at_work
    raw_room = 2_047 - len(lines.encode(note(phone, at, "").entry))
    hand_in(phone, at)
    save_entries(phone, at, [NewEntry(body=Note(text="x" * raw_room)) for _ in range(1_000)])
    server.requests.clear()
    assert hand_in(phone, at).is_whole
    assert server.requests.count("POST entries/") == 2
    assert len(server.requests) <= 2 + 3


def test_w13_a_diverged_cursor_fetches_anew_and_touches_neither_outbox_nor_book(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    cover(phone, at)
    hand_in(phone, at)
    phone.book.disk.write(lambda one: one.execute("UPDATE enrolments SET cursor = '9_0_nothing_0'"))
    cover(phone, at)
    assert hand_in(phone, at).is_whole
    assert len(server.kept(farm)) == 2
    assert len(phone.book.rows(at, "people")) == 2


def test_w13_a_cursor_older_than_what_the_server_knows_to_be_gone_starts_over(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    now = server.state.farms[farm.id]
    now.put("towns", {"id": "00000000-0000-0000-0000-000000000001", "name": "Quarrel", "retired": False})
    hand_in(phone, at)
    now.drop("towns", "00000000-0000-0000-0000-000000000001")
    now.gone.clear()
    now.tombstones_from = now.turn
    assert hand_in(phone, at).is_whole
    assert phone.book.rows(at, "towns") == ()


def test_a_server_that_always_says_diverged_is_asked_again_later_and_not_for_ever(
    at_work, way: Script
) -> None:
    phone, _, _, at = at_work
    way.then(*[always(problem(409, "diverged"))] * 9)
    done = hand_in(phone, at)
    assert (done.heard, done.move) == ("diverged", "wait")
    assert len(way.steps) == 7


def test_w17_an_app_too_old_to_fetch_still_hands_in(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    server.too_old = True
    cover(phone, at)
    done = hand_in(phone, at)
    assert (done.code, done.move, done.sent) == ("app_too_old", "wait", 1)
    assert len(server.kept(farm)) == 1
    assert phone.book.enrolment(at).waiting == 0


def test_W17_I11_an_app_too_old_to_fetch_hears_that_its_server_was_put_back(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    backup = server.backup()
    cover(phone, at)
    assert hand_in(phone, at).is_whole
    server.too_old = True
    server.restore(backup)
    assert server.kept(farm) == []
    assert hand_in(phone, at).code == "app_too_old"
    assert len(server.kept(farm)) == 1


def test_many_pages_are_fetched_in_one_pass(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    for n in range(1_200):
        farm.put("haulers", {"id": f"00000000-0000-0000-0000-{n:012x}", "name": f"H{n}", "retired": False})
    assert hand_in(phone, at).is_whole
    assert len(phone.book.rows(at, "haulers")) == 1_200
    assert server.requests.count("GET changes/") == 3


def test_w6_an_answer_that_speaks_of_other_lines_settles_nothing(at_work: Walked, way: Script) -> None:
    phone, _, _, at = at_work

    def others(go: Go) -> Answer:
        whole = go()
        tree = json.loads(whole.content)
        tree["results"] = [one | {"line": one["line"] + 1} for one in tree["results"]]
        return Answer(200, json.dumps(tree).encode(), whole.headers)

    cover(phone, at)
    way.then(others)
    assert hand_in(phone, at).heard == "no_answer"
    assert phone.book.enrolment(at).waiting == 1


def test_i11_an_answer_with_another_head_than_ours_is_a_fork(at_work: Walked, way: Script) -> None:
    phone, server, farm, at = at_work

    def other_head(go: Go) -> Answer:
        whole = go()
        tree = json.loads(whole.content) | {"head": "e" * 64}
        return Answer(200, json.dumps(tree).encode(), whole.headers)

    cover(phone, at)
    way.then(other_head)
    assert hand_in(phone, at).is_whole
    assert len(server.state.phones) == 2
    assert len(server.kept(farm)) == 1


def test_w10_the_phone_drops_what_is_safe_only_after_long(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    for _ in range(5):
        cover(phone, at)
    hand_in(phone, at)
    server.backup()
    phone.clock.jump(timedelta(days=399))
    cover(phone, at)
    hand_in(phone, at)
    assert len(phone.book.written(at)) == 6
    phone.clock.jump(timedelta(days=2))
    cover(phone, at)
    hand_in(phone, at)
    assert [one.line for one in phone.book.written(at)] == [7, 6]
    assert len(server.kept(farm)) == 7


def test_a_phone_with_two_tags_is_one_outbox(at_work: Walked) -> None:
    phone, server, farm, at = at_work
    mine = cover(phone, at)
    rejoined(phone, server, farm, "6666666666")
    theirs = cover(phone, at)
    assert hand_in(phone, at).is_whole
    assert server.kept(farm) == [mine.entry.id, theirs.entry.id]
