"""Is the rest working: what the interval of a field's weeds and hard points claims, on courses that are no line."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from server.ahead.trends import LEAST_ROUNDS, trend_since

BEGAN = date(2021, 9, 1)
SEASONS = 200
ROUNDS = (4, 5, 6, 8, 12)


def weeds(dice, years):
    """Weeds die away to a floor, each further year slower; a walk misses the mean by a quarter either way."""
    start, pace, floor = dice.uniform(12, 45), dice.uniform(0.1, 0.9), dice.uniform(1, 4)
    true = floor + start * np.exp(-pace * years)
    return true, true * np.exp(0.25 * dice.standard_normal(len(years)))


def hard(dice, years):
    """Hard points hold out, give way within a year or two, and settle; twelve are probed a round."""
    start, end, turn = dice.uniform(40, 90), dice.uniform(10, 60), dice.uniform(0.5, 3)
    true = end + (start - end) / (1 + np.exp(2.0 * (years - turn)))
    return true, 100.0 * dice.binomial(12, true / 100.0) / 12.0


def held(course, rounds: int) -> float:
    """The share of seasons whose true mean change a year, first round to last, lies in the interval told."""
    inside = 0
    for number in range(SEASONS):
        dice = np.random.default_rng([rounds, course is hard, number])
        days = np.unique((365.2425 * np.sort(dice.uniform(0, 4, rounds))).astype(int))
        true, seen = course(dice, days / 365.2425)
        walked = [
            (BEGAN + timedelta(days=int(day)), float(value)) for day, value in zip(days, seen, strict=True)
        ]
        line = trend_since(walked, BEGAN, lambda one: one).line
        assert line is not None or len(walked) < LEAST_ROUNDS
        change = (true[-1] - true[0]) / (days[-1] - days[0]) * 365.2425
        inside += line is not None and line.low <= change <= line.high
    return inside / SEASONS


@pytest.mark.parametrize("rounds", ROUNDS)
@pytest.mark.parametrize("course", [weeds, hard])
def test_of_200_rests_that_are_no_line_the_90_percent_interval_holds_the_true_change_80_to_95_in_100(
    course, rounds
):
    assert 0.80 <= held(course, rounds) <= 0.95


def test_three_rounds_are_too_few_to_say_and_what_was_walked_before_the_rest_is_not_counted():
    walked = [(BEGAN + timedelta(days=200 * n), 40.0 - 9 * n) for n in range(-2, 3)]
    few = trend_since(walked, BEGAN, lambda one: one)
    assert (few.rounds, few.word, few.first, few.last) == (3, "too_few", 40.0, 22.0)


def test_a_steady_fall_is_told_as_one():
    walked = [(BEGAN + timedelta(days=200 * n), 40.0 - 5 * n) for n in range(6)]
    assert trend_since(walked, BEGAN, lambda one: one).word == "falls"
