"""Run by ``tests/server/postgres`` in a process whose database is PostgreSQL: the simulation again, in fewer steps."""

from __future__ import annotations

import os

import pytest
from django.db import connection

from tests.simulation.healing import found_wrong
from tests.simulation.schedules import TOURS
from tests.simulation.test_simulation import assert_it_met_enough, simulate
from tests.simulation.world import Laid

SCHEDULES = int(os.environ.get("SCHEDULES_ON_POSTGRESQL", "5"))
STEPS = 30
ON_BOTH = ("a_carry_file_beyond_a_gap", "somebody_whom_a_restore_forgot")


@pytest.mark.timeout(0)
def test_the_invariants_hold_on_postgresql_whatever_happens_on_the_way(laid: Laid) -> None:
    assert connection.vendor == "postgresql"
    for name in ON_BOTH:
        assert found_wrong(laid, TOURS[name]) is None, name
    assert_it_met_enough(simulate(laid, SCHEDULES, STEPS))
