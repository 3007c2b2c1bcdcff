"""Phone and server killed between save, send, commit and answer: none lost, none twice."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.kills.killing import killed

PHONE_KILLS, SERVER_KILLS = 45, 15


@pytest.mark.timeout(600)
def test_I1_I2_I3_W7_no_kill_of_phone_or_server_loses_an_entry_or_keeps_one_twice(tmp_path: Path) -> None:
    killing = killed(tmp_path, PHONE_KILLS, SERVER_KILLS, seed=60)
    killing.check()
    assert (killing.phone_kills, killing.server_kills) == (PHONE_KILLS, SERVER_KILLS)
    assert killing.between >= (PHONE_KILLS + SERVER_KILLS) / 3
    assert len(killing.saved) > PHONE_KILLS
