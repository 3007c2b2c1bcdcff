"""KILLS kills (500) of phone and server, three of four of them of the phone."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from tests.kills.killing import killed

KILLS = int(os.environ.get("KILLS", "500"))


def test_no_kill_loses_an_entry_or_keeps_one_twice(tmp_path: Path) -> None:
    seed = int(os.environ.get("SEED") or secrets.randbits(32))
    print(f"SEED={seed}")
    killing = killed(tmp_path, KILLS * 3 // 4, KILLS - KILLS * 3 // 4, seed)
    killing.check()
    print(f"{KILLS} kills, {killing.between} between commit and answer, {len(killing.saved)} entries")
    assert killing.between >= KILLS / 3
