"""W5, W6, W18: what a phone does with what it hears."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.sync.outbox import MOST_LINES, TABLE, Heard, Pace, after, wait_s

HEARD = get_args(Heard)


def test_every_answer_has_a_move():
    assert set(TABLE) == set(HEARD)


def test_W18_a_batch_is_halved_down_to_one_line_on_400_413_500_and_time_out():
    for heard in ("bad_frame", "too_large", "server_error", "no_answer"):
        pace, sizes = Pace(), []
        for _ in range(10):
            pace, _ = after(pace, heard, pace.lines)
            sizes.append(pace.lines)
        assert sizes[:9] == [250, 125, 62, 31, 15, 7, 3, 1, 1]


def test_W6_a_line_refused_alone_twice_goes_as_staying_and_the_next_goes_whole():
    pace, first = after(Pace(lines=1), "server_error", 1)
    pace, second = after(pace, "server_error", 1)
    assert (first, second, pace.staying) == ("wait", "stay", True)
    pace, move = after(pace, "settled", 1)
    assert (move, pace.staying, pace.failures) == ("settle", False, 0)


def test_W6_where_even_the_staying_line_fails_the_server_is_at_fault_and_the_line_goes_whole_again():
    pace = Pace(lines=1, staying=True)
    pace, move = after(pace, "server_error", 1)
    assert (move, pace.staying, pace.alone) == ("wait", False, 0)


def test_W6_silence_alone_never_makes_a_line_stay():
    pace = Pace(lines=1)
    for _ in range(20):
        pace, move = after(pace, "no_answer", 1)
        assert move == "wait"
    assert not pace.staying


def test_W18_success_sets_the_waiting_back_to_the_first():
    pace = Pace(failures=9)
    pace, _ = after(pace, "settled", 10)
    assert pace.failures == 0


@given(st.integers(0, 200), st.floats(0, 1, exclude_max=True))
def test_W18_a_wait_is_never_longer_than_a_quarter_of_an_hour_and_grows_by_doubling(failures, share):
    assert 0 <= wait_s(failures, share) < 900
    assert wait_s(1, share) == pytest.approx(2 * share)
    assert wait_s(2, share) == pytest.approx(4 * share)
    assert wait_s(40, share) == pytest.approx(900 * share)


@given(st.lists(st.sampled_from(HEARD), max_size=40))
def test_W18_there_is_no_budget_after_which_a_phone_gives_up(heards):
    pace = Pace()
    for heard in heards:
        pace, move = after(pace, heard, pace.lines)
        assert 1 <= pace.lines <= MOST_LINES
        assert move in set(TABLE.values()) | {"stay"}
