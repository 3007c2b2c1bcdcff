"""Trash by weight and by volume, each by its own limit."""

from __future__ import annotations

import inspect

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import OutOfRange
from shared.reckoning.trash import load_checks, trash_by_volume, trash_weighed

UNITS = pint.UnitRegistry()


@pytest.mark.parametrize(("gallons", "share", "over"), [(5, 2.48, False), (12, 5.94, True)])
def test_gallons_in_a_yard_against_five_percent_by_volume(gallons, share, over):
    # WAC 173-350-220 as proposed: incoming contamination up to 5 % by volume; a yard is 201.97 gallons.
    found = trash_by_volume(1.0, gallons)
    assert found.trash_pct == pytest.approx(share, abs=0.01)
    assert found.over is over


def test_five_percent_by_volume_is_still_taken_and_more_is_not():
    gallons = 27 * 1728 / 231
    assert trash_by_volume(1.0, gallons * 0.0499).over is False
    assert trash_by_volume(1.0, gallons * 0.0501).over is True


@given(st.floats(1.0, 4_000.0), st.floats(0.0, 1.0))
def test_a_share_of_volume_agrees_with_pint(yards, part):
    gallons = (yards * UNITS.yard**3).to(UNITS.gallon).magnitude * part
    assert trash_by_volume(yards, gallons * 0.999999).trash_pct == pytest.approx(99.9999 * part, rel=1e-9)


@pytest.mark.parametrize(("trash", "over"), [(1.99, False), (2.0, False), (2.01, True)])
def test_one_percent_by_weight_is_still_taken_and_more_is_not(trash, over):
    # 14 CCR 17868.5: reject above 1.0 % of total weight.
    assert trash_weighed(200.0, trash).over is over


@given(st.floats(1.0, 1_000.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_more_trash_is_never_a_smaller_share(sample, one, other):
    less, more = sorted((one * sample, other * sample))
    assert trash_weighed(sample, less).trash_pct <= trash_weighed(sample, more).trash_pct <= 100.0 + 1e-9


def test_weight_and_volume_take_no_input_of_each_other():
    by_weight = set(inspect.signature(trash_weighed).parameters)
    by_volume = set(inspect.signature(trash_by_volume).parameters)
    assert by_weight & by_volume == {"limit_pct"}


@pytest.mark.parametrize(
    ("trucks", "checked"), [(0, 0), (1, 1), (30, 1), (100, 1), (101, 2), (200, 2), (250, 3), (10_000, 100)]
)
def test_one_truck_in_a_hundred_is_looked_through_and_one_at_least(trucks, checked):
    # 14 CCR 17868.5: at least 1 % of the daily volume or one truck a day, whichever is greater.
    assert load_checks(trucks, 20.0).trucks_to_check == checked


def test_more_trash_than_there_was_load_is_refused():
    with pytest.raises(OutOfRange, match="trash_lb"):
        trash_weighed(10.0, 11.0)
    with pytest.raises(OutOfRange, match="trash_gal"):
        trash_by_volume(1.0, 202.0)
