"""Soil tests as lines a laboratory: what the interval claims on bent courses, and what is never mixed."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID

import numpy as np
import pytest

from server.ahead.soil_lines import LEAST_READINGS, SoilFigure, season_of_year, soil_lines
from shared.reckoning.trend import Kind, Reading

FIELD, OTHER = UUID(int=1), UUID(int=2)
HERE = Kind("Fennel Ridge", "Mehlich 3", 0.0, 7.0, "autumn")
SEASONS = 200


def figures(values, kind=HERE, figure="P", field=FIELD):
    return [
        SoilFigure(field, figure, "ppm", Reading(date(2018 + year, 10, 12), kind, value))
        for year, value in enumerate(values)
    ]


def held(tests: int) -> float:
    """The share of fields whose true mean change a year lies in the interval; they level off, the laboratory
    scatters with heavy tails."""
    inside = 0
    for number in range(SEASONS):
        dice = np.random.default_rng([tests, number])
        years = np.arange(tests)
        start, yearly, bend = dice.uniform(40, 90), dice.normal(2.0, 2.5), dice.uniform(2.0, 12.0)
        true = start + yearly * bend * (1 - np.exp(-years / bend))
        seen = true + 4.0 * dice.standard_t(5, tests)
        (one,) = soil_lines(figures(seen.tolist()))
        change = (true[-1] - true[0]) / (tests - 1)
        inside += one.line.low <= change <= one.line.high
    return inside / SEASONS


@pytest.mark.parametrize("tests", [4, 5, 10])
def test_of_200_fields_on_bent_courses_the_90_percent_interval_holds_the_true_change_80_to_95_in_100(tests):
    assert 0.80 <= held(tests) <= 0.95


@pytest.mark.parametrize("tests", [6, 8])
def test_between_those_the_steps_of_its_ranks_make_it_a_little_wider_than_it_says(tests):
    assert 0.90 <= held(tests) <= 0.98


def test_figures_of_two_laboratories_methods_depths_or_seasons_are_never_one_line():
    others = [
        Kind("Corbel", "Mehlich 3", 0.0, 7.0, "autumn"),
        Kind("Fennel Ridge", "Bray", 0.0, 7.0, "autumn"),
        Kind("Fennel Ridge", "Mehlich 3", 0.0, 2.0, "autumn"),
        Kind("Fennel Ridge", "Mehlich 3", 0.0, 7.0, "spring"),
    ]
    mixed = figures([50.0, 52, 54, 56]) + [one for kind in others for one in figures([80.0, 81, 82], kind)]
    told = soil_lines(mixed)
    assert len(told) == 5
    assert [one.word for one in told if one.kind == HERE] == ["rises"]
    assert {one.word for one in told if one.kind != HERE} == {"too_few"}


def test_too_few_tests_make_no_line_and_two_fields_are_two_lines():
    few = figures([50.0, 60.0, 70.0]) + figures([50.0, 60.0], field=OTHER)
    told = soil_lines(few)
    assert [(one.field, len(one.readings), one.line) for one in told] == [(FIELD, 3, None), (OTHER, 2, None)]
    assert LEAST_READINGS == 4


def test_a_steady_rise_is_told_and_one_day_twice_makes_no_line_up():
    (rises,) = soil_lines(figures([50.0, 53, 55, 58, 61, 63, 66]))
    assert rises.word == "rises"
    same = [SoilFigure(FIELD, "P", "ppm", Reading(date(2020, 10, 1), HERE, 50.0 + n)) for n in range(5)]
    (one,) = soil_lines(same)
    assert one.line is None


def test_an_unknown_figure_is_left_to_the_fields_page():
    assert soil_lines(figures([1.0] * 5, figure="Zn")) == []


def test_the_seasons_of_a_year_begin_in_march_june_september_and_december():
    words = [season_of_year(date(2025, 2, 28) + timedelta(days=1) * n) for n in (0, 1, 93, 185, 276)]
    assert words == ["winter", "spring", "summer", "autumn", "winter"]
