"""W8: what happens to each line, row by row of the contract's table, in its order of looking."""

from __future__ import annotations

import sys
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import Fork, Gap
from shared.sync.chain import NO_HEAD, head_over
from shared.sync.receipts import Arrival, Enrolment, Facts, Known, judge, placed
from shared.wire import lines
from shared.wire.v1 import MOST_ENTRY_BYTES

sys.path.insert(0, str(Path(__file__).parents[1] / "wire"))
from samples import A, B, envelope, line

NEW = Enrolment(0, NO_HEAD)


def note(n: int, text: str = "geese") -> bytes:
    return line(envelope("note", id=f"01890a5d-ac96-774b-bcce-{n:012x}", body={"text": text}))


def arrivals(*raws: bytes | None, first: int = 1) -> list[Arrival]:
    out = []
    for place, raw in enumerate(raws):
        sha = lines.sha(raw) if raw is not None else "ee" * 32
        out.append(Arrival(first + place, sha, raw, len(raw) if raw is not None else 70_000))
    return out


def ruled(came: list[Arrival], enrolment: Enrolment = NEW, facts: Facts | None = None):
    return judge(enrolment, came, facts or Facts(), lines.decode, MOST_ENTRY_BYTES)


def test_W8_a_sound_and_new_line_is_kept():
    (ruling,) = ruled(arrivals(note(1)))
    assert (ruling.outcome, ruling.code, ruling.fresh) == ("kept", None, True)
    assert ruling.head == head_over([lines.sha(note(1))])


def test_W8_an_unsound_line_is_held_with_why_and_its_bytes_and_the_head_goes_on():
    first, second = ruled(arrivals(b"not json", note(2)))
    assert (first.outcome, first.code, first.raw) == ("held", "not_json", b"not json")
    assert second.outcome == "kept"
    assert second.head == head_over([lines.sha(b"not json"), lines.sha(note(2))])


def test_W8_a_line_over_64_KiB_or_one_that_stays_is_refused_and_the_head_goes_on():
    long = note(1, "x" * 70_000)
    first, second, third = ruled(arrivals(long, None, note(2)))
    assert (first.outcome, first.code, second.outcome, second.code) == ("refused", "too_large") * 2
    assert third.outcome == "kept"
    assert third.head == head_over([lines.sha(long), "ee" * 32, lines.sha(note(2))])


def test_W8_a_sha_that_the_farm_has_answers_already_with_what_it_was():
    sha = lines.sha(note(1))
    known = Known(sha, "held", "unknown_field", 12)
    (ruling,) = ruled(arrivals(note(1)), facts=Facts(by_sha={sha: known}))
    assert (ruling.outcome, ruling.was, ruling.code, ruling.number) == (
        "already",
        "held",
        "unknown_field",
        12,
    )
    assert ruling.moved
    assert not ruling.fresh


def test_W8_a_sha_that_came_earlier_in_the_same_request_answers_already():
    first, second = ruled(arrivals(note(1), note(1)))
    assert (first.outcome, second.outcome, second.was) == ("kept", "already", "kept")


def test_W8_size_is_looked_at_before_the_sha_and_the_sha_before_soundness():
    long = note(1, "x" * 70_000)
    known = {
        lines.sha(long): Known(lines.sha(long), "kept", None, 3),
        lines.sha(b"{"): Known(lines.sha(b"{"), "held", "not_json", 4),
    }
    first, second = ruled(arrivals(long, b"{"), facts=Facts(by_sha=known))
    assert first.outcome == "refused"
    assert (second.outcome, second.was) == ("already", "held")


def test_W8_an_id_of_an_earlier_arrival_with_another_sha_is_held_as_a_conflict():
    (ruling,) = ruled(
        arrivals(note(1, "other")), facts=Facts(by_id={UUID(f"01890a5d-ac96-774b-bcce-{1:012x}"): "aa" * 32})
    )
    assert (ruling.outcome, ruling.code) == ("held", "id_conflict")
    first, second = ruled(arrivals(note(1), note(1, "other")))
    assert (first.outcome, second.outcome, second.code) == ("kept", "held", "id_conflict")


def test_W8_an_id_that_an_unsound_arrival_carried_is_taken_too():
    unsound = line(envelope("note", id=f"01890a5d-ac96-774b-bcce-{1:012x}", body={}))
    first, second = ruled(arrivals(unsound, note(1)))
    assert (first.outcome, first.code, second.outcome, second.code) == (
        "held",
        "missing_key",
        "held",
        "id_conflict",
    )


def test_W8_a_line_up_to_the_head_with_the_same_sha_answers_already_and_moves_nothing():
    sha = lines.sha(note(1))
    at = Enrolment(1, head_over([sha]))
    (ruling,) = ruled(arrivals(note(1)), at, Facts(receipts={1: Known(sha, "kept", None, 9)}))
    assert (ruling.outcome, ruling.was, ruling.number, ruling.moved) == ("already", "kept", 9, False)
    assert ruling.head == at.head


def test_W8_a_line_up_to_the_head_with_another_sha_is_a_fork():
    at = Enrolment(1, head_over([lines.sha(note(1))]))
    with pytest.raises(Fork) as caught:
        ruled(arrivals(note(2)), at, Facts(receipts={1: Known(lines.sha(note(1)), "kept", None, 9)}))
    assert caught.value.line == 1


def test_W8_a_line_beyond_the_next_is_a_gap_that_says_what_is_expected():
    with pytest.raises(Gap) as caught:
        placed(Enrolment(4, "aa" * 32), 6, "bb" * 32, lambda n: None)
    assert caught.value.expect == 5


def test_W6_the_head_before_the_first_line_must_be_the_servers():
    heads = {0: NO_HEAD, 1: "bb" * 32}
    placed(Enrolment(2, "cc" * 32), 3, "cc" * 32, heads.get)
    placed(Enrolment(2, "cc" * 32), 2, "bb" * 32, heads.get)
    for first, prev in ((3, "bb" * 32), (2, "cc" * 32), (1, "cc" * 32)):
        with pytest.raises(Fork):
            placed(Enrolment(2, "cc" * 32), first, prev, heads.get)


def test_W1_a_field_or_a_person_that_was_never_this_farms_is_held():
    fields, people = {UUID(A)}, {UUID(B)}
    stranger = "01890a5d-ac96-774b-bcce-ffffffffffff"
    came = arrivals(
        note(1),
        line(envelope("note", id=f"01890a5d-ac96-774b-bcce-{2:012x}", field=stranger)),
        line(envelope("note", id=f"01890a5d-ac96-774b-bcce-{3:012x}", by=stranger)),
        line(envelope("note", id=f"01890a5d-ac96-774b-bcce-{4:012x}", field=None, done_by="the neighbour")),
    )
    rulings = ruled(came, facts=Facts(fields=fields, people=people))
    assert [(r.outcome, r.code) for r in rulings] == [
        ("kept", None),
        ("held", "unknown_field"),
        ("held", "unknown_person"),
        ("kept", None),
    ]


@given(
    st.lists(
        st.sampled_from([b"{", note(1), note(2), note(3), note(2, "other"), b"\xff"]), min_size=1, max_size=8
    )
)
def test_I7_one_bad_entry_changes_no_others_outcome(raws):
    """Each line alone after the sound ones before it has the outcome that it has in the batch."""
    together = ruled(arrivals(*raws))
    enrolment, receipts, by_sha, by_id = NEW, {}, {}, {}
    for came, expected in zip(arrivals(*raws), together, strict=True):
        (alone,) = ruled([came], enrolment, Facts(receipts, by_sha, by_id))
        assert (alone.outcome, alone.was, alone.code, alone.head) == (
            expected.outcome,
            expected.was,
            expected.code,
            expected.head,
        )
        first = alone.was or alone.outcome
        receipts[came.line] = Known(came.sha, first, alone.code, came.line)
        by_sha.setdefault(came.sha, Known(came.sha, first, alone.code, came.line))
        if alone.entry_id is not None and alone.outcome != "already":
            by_id.setdefault(alone.entry_id, came.sha)
        enrolment = Enrolment(came.line, alone.head)
