"""The simulation at length: SCHEDULES schedules (20,000), from another seed each time, which it prints."""

from __future__ import annotations

import os
import secrets

from hypothesis import seed, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.simulation.conftest import laid
from tests.simulation.test_simulation import Machine
from tests.simulation.world import Laid

SCHEDULES = int(os.environ.get("SCHEDULES", "20000"))
STEPS = 50
__all__ = ["laid"]


def test_the_invariants_hold_over_many_schedules(laid: Laid) -> None:
    drawn = int(os.environ.get("SEED") or secrets.randbits(32))
    print(f"SEED={drawn}")
    Machine.begun(laid)
    told = settings(
        max_examples=SCHEDULES, stateful_step_count=STEPS, deadline=None, derandomize=False, database=None
    )
    run_state_machine_as_test(seed(drawn)(Machine), settings=told)
    had = Machine.coverage
    print(dict(had))
    assert had["stored"] >= had["schedules"] / 2
    assert had["moved"] >= had["schedules"] / 4
