"""The truck factor of towns and packings, told apart from rounds on mixed ground."""

from __future__ import annotations

from uuid import UUID

import numpy as np
import pytest

from shared.status.factor_by_sort import SPREAD, RoundYards, factors_by_sort

A, B = UUID(int=1), UUID(int=2)
LOOSE, PACKED = (A, "loose"), (B, "compacted")


def test_two_sorts_are_told_apart_from_rounds_on_mixed_ground():
    shares = [(900.0, 100.0), (500.0, 500.0), (100.0, 900.0)]
    rounds = [
        RoundYards(0.8 * loose + 1.6 * packed, 25.0, {LOOSE: loose, PACKED: packed})
        for loose, packed in shares
    ]
    loose, packed = factors_by_sort(rounds)
    assert (loose.town, packed.town) == (A, B)
    assert loose.factor == pytest.approx(0.8, abs=0.02)
    assert packed.factor == pytest.approx(1.6, abs=0.02)
    assert loose.low < 0.8 < loose.high < packed.low < 1.6 < packed.high
    assert loose.truck_yd3 == 1_500


def test_always_the_same_mixture_tells_nothing_apart():
    rounds = [RoundYards(1_200.0, 40.0, {LOOSE: 500.0, PACKED: 500.0})] * 4
    assert [one.factor for one in factors_by_sort(rounds)] == [None, None]


def test_one_sort_alone_has_the_factor_of_its_round():
    (one,) = factors_by_sort([RoundYards(1_100.0, 30.0, {LOOSE: 1_000.0})])
    assert one.factor == pytest.approx(1.1)
    assert (one.low, one.high) == pytest.approx((1.1 - 1.645 * 0.03, 1.1 + 1.645 * 0.03), abs=1e-4)


def test_it_agrees_with_numpy_whatever_was_sent():
    dice = np.random.default_rng(7)
    sorts = [(A, "loose"), (A, "vacuumed"), (B, "compacted")]
    yards = dice.uniform(0, 800, (5, 3))
    errors = dice.uniform(10, 60, 5)
    ground = yards @ np.array([0.9, 0.7, 1.8]) + dice.normal(0, errors)
    found = factors_by_sort(
        [
            RoundYards(float(lies), float(error), dict(zip(sorts, map(float, row), strict=True)))
            for lies, error, row in zip(ground, errors, yards, strict=True)
        ]
    )
    own = ground.sum() / yards.sum()
    supposed = SPREAD.value * own
    spread = np.linalg.inv(np.eye(3) / supposed**2 + (yards / errors[:, None] ** 2).T @ yards)
    mean = spread @ ((yards / errors[:, None] ** 2).T @ ground + own / supposed**2)
    by = {(one.town, one.packing): one for one in found}
    for place, sort in enumerate(sorts):
        assert (by[sort].low + by[sort].high) / 2 == pytest.approx(mean[place], rel=1e-9)
        assert by[sort].high - by[sort].low == pytest.approx(
            2 * 1.6448536 * spread[place, place] ** 0.5, rel=1e-6
        )


def test_without_a_round_nothing_is_said():
    assert factors_by_sort([]) == []
    assert factors_by_sort([RoundYards(10.0, 0.0, {LOOSE: 10.0})]) == []
