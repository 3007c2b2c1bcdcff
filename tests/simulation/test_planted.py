"""The simulation is itself tested: a stored schedule finds each of twelve planted mistakes, and nothing without."""

from __future__ import annotations

import pytest

from tests.simulation.healing import found_wrong
from tests.simulation.planted import PLANTED
from tests.simulation.schedules import FOUND, SCHEDULES
from tests.simulation.world import Laid


def test_there_is_a_schedule_for_each_of_the_twelve() -> None:
    assert SCHEDULES.keys() == PLANTED.keys()
    assert len(PLANTED) == 12


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_mistake_is_found_and_nothing_is_found_without_it(
    name: str, laid: Laid, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert found_wrong(laid, SCHEDULES[name]) is None
    PLANTED[name](monkeypatch)
    wrong = found_wrong(laid, SCHEDULES[name])
    assert wrong is not None
    assert wrong.startswith("I"), wrong


@pytest.mark.parametrize("name", FOUND)
def test_I13_what_was_found_once_is_not_found_again(name: str, laid: Laid) -> None:
    assert found_wrong(laid, FOUND[name]) is None
