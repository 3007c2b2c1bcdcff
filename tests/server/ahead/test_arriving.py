"""Yards still coming by town: what the interval claims, over seasons whose loads come by another law."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from server.ahead.arriving import Coming, coming, curve_of, fills, usual_curve

SEASONS = 200
LOAD = 20.0


def season(dice: np.random.Generator, town: float) -> dict[int, float]:
    """A season of a town: two humps of the leaf fall, which come sooner or later, whole loads by chance, none on
    weekends, and days that rain puts off to the next."""
    total = town * dice.gamma(16.0, 1 / 16.0)
    late, share = dice.normal(0.0, 6.0), dice.uniform(0.3, 0.7)
    days = np.arange(300)
    humps = (
        share * np.exp(-(((days - 118 - late) / 11) ** 2))
        + (1 - share) * np.exp(-(((days - 146 - late) / 14) ** 2)) * 11 / 14
    )
    open_days = ~np.isin(days % 7, (3, 4)) & (dice.random(days.size) >= 0.15)
    waiting = np.diff(np.cumsum(humps / humps.sum() * total / LOAD)[open_days], prepend=0.0)
    loads = dice.poisson(waiting)
    return {int(day): float(one) * LOAD for day, one in zip(days[open_days], loads, strict=True) if one}


@cache
def covered(years: int, today: int) -> tuple[float, float]:
    """The share of seasons whose yards still coming lie in the 90 % interval, and its mean length in yards."""
    inside, lengths = 0, []
    for number in range(SEASONS):
        dice = np.random.default_rng([years, today, number])
        town = float(np.exp(dice.normal(7.5, 0.5)))
        past = [season(dice, town) for _ in range(years)]
        now = season(dice, town)
        left = sum(yards for day, yards in now.items() if day > today)
        totals, shapes = [sum(one.values()) for one in past], [curve_of(one) for one in past]
        found = coming(totals, shapes, {day: one for day, one in now.items() if day <= today}, today)
        if found is None:
            continue
        low, *_, high = found.yards
        inside += low <= left <= high
        lengths.append((high - low) / town)
    return inside / len(lengths), float(np.mean(lengths))


@pytest.mark.parametrize(("years", "today"), [(3, 120), (3, 140), (2, 130), (1, 130)])
def test_of_200_seasons_of_another_law_the_90_percent_interval_holds_80_to_95_in_100(years, today):
    share, _ = covered(years, today)
    assert 0.80 <= share <= 0.95


def test_with_one_season_or_none_the_interval_is_wider_and_holds_no_less():
    (_, narrow), (_, wide), (none, widest) = covered(3, 120), covered(1, 130), covered(0, 130)
    assert none >= 0.80
    assert narrow < wide < widest


PAST = dict.fromkeys(range(105, 165), 100.0)


def test_a_town_with_no_year_before_and_no_load_yet_is_not_guessed_at():
    assert coming([], [usual_curve()], {}, 120) is None


def test_what_was_agreed_is_the_most_that_is_looked_for():
    free = coming([6000.0], [curve_of(PAST)], {110: 900.0}, 120)
    capped = coming([6000.0], [curve_of(PAST)], {110: 900.0}, 120, cap_yd3=2000.0)
    assert free.yards[2] > 1100
    assert capped.yards[-1] == pytest.approx(1100.0)


def test_past_the_end_of_every_season_nothing_more_is_looked_for():
    assert coming([6000.0], [curve_of(PAST)], PAST, 260).yards[-1] < 1.0


def test_the_room_fills_on_the_day_that_the_towns_together_pass_it():
    steady = Coming(np.tile(np.arange(1, 31) * 100.0, (512, 1)))
    assert fills([steady, steady], 1000.0) == (6,) * 5
    assert fills([steady], 3000.0) == (None,) * 5
    assert fills([], 10.0) == (None,) * 5
    assert fills([steady], 0.0)[0] == 1
