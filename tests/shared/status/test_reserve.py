"""The gate's reserve: which field is next best, and what is kept back for phones not heard."""

from __future__ import annotations

from uuid import UUID

import pytest

from shared.status.reserve import Bears, MayReceive, kept_back, next_best


def field(
    at: int, room: float, bears: Bears | None = "fit", loads: int | None = 9, closed: bool = False
) -> MayReceive:
    return MayReceive(UUID(int=at), room, loads, closed, bears)


def test_the_next_best_is_the_one_with_most_room_on_ground_that_bears() -> None:
    fields = [field(1, 900, "light"), field(2, 300), field(3, 500), field(4, 2000, None)]
    assert next_best(fields) == UUID(int=3)
    assert next_best(fields, now=UUID(int=3)) == UUID(int=2)


def test_ground_nobody_has_looked_at_stands_before_light_loads_only() -> None:
    assert next_best([field(1, 900, "light"), field(2, 100, None)]) == UUID(int=2)


@pytest.mark.parametrize(
    "barred",
    [field(1, 900, "stay_off"), field(1, 900, closed=True), field(1, 12, loads=0), field(1, 0, loads=None)],
)
def test_a_field_that_can_take_none_is_never_the_next_best(barred: MayReceive) -> None:
    assert next_best([barred]) is None


@pytest.mark.parametrize(
    ("unheard_min", "loads", "kept"),
    [(0, 64, 0), (59, 64, 0), (60, 64, 1), (240, 64, 4), (900, 64, 4), (240, 2, 2), (240, 0, 0), (-5, 64, 0)],
)
def test_a_load_is_kept_back_for_each_hour_in_which_other_phones_were_not_heard(
    unheard_min: int, loads: int, kept: int
) -> None:
    assert kept_back(unheard_min, loads) == kept
