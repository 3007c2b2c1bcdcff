"""The search for each of the twelve planted mistakes, by the weighted rules and no stored schedule."""

from __future__ import annotations

import os

import pytest
from hypothesis import Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.simulation.conftest import laid
from tests.simulation.planted import PLANTED
from tests.simulation.test_simulation import Machine
from tests.simulation.world import Laid

SEARCHED = int(os.environ.get("SEARCHED", "1500"))
__all__ = ["laid"]


@pytest.mark.parametrize("name", PLANTED)
def test_the_search_finds_a_planted_mistake(
    name: str,
    laid: Laid,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    PLANTED[name](monkeypatch)
    Machine.begun(laid)
    told = settings(max_examples=SEARCHED, stateful_step_count=40, deadline=None, phases=[Phase.generate])
    with pytest.raises((AssertionError, ExceptionGroup)):
        run_state_machine_as_test(Machine, settings=told)
    print(f"{name}: found after {Machine.coverage['schedules']} schedules")
