"""When the gate is offered: by the farm's own load days."""

from __future__ import annotations

from datetime import date

import pytest

from shared.status.leaf_season import in_leaf_season

LOADS = (date(2025, 11, 3), date(2025, 12, 12))


@pytest.mark.parametrize(
    ("today", "offered"),
    [
        (date(2025, 11, 3), True),
        (date(2025, 12, 26), True),
        (date(2025, 12, 27), False),
        (date(2026, 7, 1), False),
        (date(2026, 10, 12), False),
        (date(2026, 10, 13), True),
        (date(2027, 1, 2), True),
        (date(2027, 1, 3), False),
    ],
)
def test_the_gate_is_offered_after_a_load_and_round_last_years_loads(today: date, offered: bool) -> None:
    assert in_leaf_season(today, LOADS) is offered


@pytest.mark.parametrize(("month", "offered"), [(9, False), (10, True), (12, True), (1, True), (2, False)])
def test_a_farm_that_has_had_no_loads_goes_by_leaf_fall(month: int, offered: bool) -> None:
    assert in_leaf_season(date(2026, month, 15), ()) is offered
    assert in_leaf_season(date(2026, month, 15), [date(2027, 1, 1)]) is offered
