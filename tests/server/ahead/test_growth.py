"""The day a cover crosses the mow height: what is claimed of the interval, over seasons of another family of curves."""

from __future__ import annotations

import numpy as np
import pytest

from server.ahead.growth import Walk, crossing
from shared.reckoning.mowing import MOW_AT_IN

SEASONS = 200
DAYS = 120
A_DAY = 23.0
HEAT_SPREAD = 0.1


class Season:
    """A season whose truth is no Gompertz curve: it grows at a pace that rises to a steady one and then leans over
    (exponential, then linear, then saturating), in a year's own heat, with stops that scatter. From seed it crosses in
    four to nine weeks, which is what the published figures span."""

    def __init__(self, number: int, from_seed: bool) -> None:
        self.dice = np.random.default_rng(1000 + number)
        year = np.exp(self.dice.normal(0.0, 0.08))
        self.heat = np.clip(self.dice.normal(A_DAY * year, 6.0, DAYS), 3.0, 36.0)
        self.units = np.cumsum(self.heat)
        pace = np.exp(self.dice.normal(np.log(0.075), 0.25))
        bend = self.dice.uniform(90.0, 180.0)
        lag = self.dice.uniform(250.0, 780.0) if from_seed else self.dice.uniform(120.0, 380.0)
        grown = pace * bend * np.log1p(np.exp((self.units - lag) / bend))
        top = self.dice.uniform(80.0, 130.0)
        self.height = top * (1 - np.exp(-grown / top)) + (0.0 if from_seed else 4.0)

    @property
    def crosses(self) -> int:
        return int(np.argmax(self.height >= MOW_AT_IN.value))

    def walk(self, day: int) -> Walk:
        spread = 0.15 * self.height[day]
        stops = self.dice.normal(self.height[day], spread, 12)
        return Walk(float(self.units[day]), float(stops.mean()), float(stops.std(ddof=1) / np.sqrt(12)))


def covered(from_seed: bool, rounds: tuple[int, ...]) -> tuple[float, float]:
    """The share of seasons whose crossing lies in the 90 % interval, with the interval's mean length in days."""
    inside, lengths = 0, []
    for number in range(SEASONS):
        season = Season(number, from_seed)
        now = max((*rounds, 5))
        while season.crosses <= now and now > 5:
            now -= 5
        walks = [season.walk(day) for day in rounds if day <= now]
        found = crossing(walks, float(season.units[now]), [A_DAY] * DAYS, HEAT_SPREAD, from_seed)
        assert found.low is not None
        high = found.high if found.high is not None else DAYS
        inside += found.low <= season.crosses - now <= high
        lengths.append(high - found.low)
    return inside / SEASONS, float(np.mean(lengths))


@pytest.mark.parametrize(
    ("from_seed", "rounds"), [(True, (22, 29)), (True, (22,)), (False, (7, 14)), (False, (7,))]
)
def test_of_200_seasons_of_another_family_the_90_percent_interval_holds_80_to_95_in_100(from_seed, rounds):
    share, _ = covered(from_seed, rounds)
    assert 0.80 <= share <= 0.95


@pytest.mark.parametrize("from_seed", [True, False])
def test_without_a_round_the_interval_is_wide_and_holds_at_least_what_it_says(from_seed):
    share, days = covered(from_seed, ())
    assert share >= 0.90
    assert days > covered(from_seed, (7,))[1]


def test_the_fields_own_rounds_make_the_interval_shorter():
    assert covered(True, (22, 29))[1] < covered(True, ())[1] * 0.75


def test_a_season_without_heat_figures_widens():
    sure = crossing([], 300.0, [A_DAY] * DAYS, 0.1, True)
    unsure = crossing([], 300.0, [A_DAY] * DAYS, 0.4, True)
    assert unsure.low < sure.low
    assert unsure.high is None or unsure.high > sure.high


def test_a_cover_that_was_measured_taller_crosses_earlier():
    short, tall = (
        crossing([Walk(600.0, height, 1.0)], 600.0, [A_DAY] * DAYS, 0.1, True) for height in (8.0, 24.0)
    )
    assert tall.middle < short.middle


def test_what_will_not_be_reached_within_the_days_looked_at_is_not_told_as_a_day():
    assert crossing([Walk(600.0, 5.0, 1.0)], 600.0, [2.0] * 30, 0.1, True).late is None
