"""An entry's bytes read strictly, against the standard library's parser alone."""

from __future__ import annotations

import json
from pathlib import Path

from shared.wire import lines
from tests.bench.measure import pair, tell

GOLDEN = Path(__file__).resolve().parents[1] / "golden" / "v1"


def run() -> None:
    batch = [path.read_bytes() for path in sorted(GOLDEN.glob("*.json"))] * 20
    ours, floor = pair(
        lambda: [lines.decode(raw) for raw in batch], lambda: [json.loads(raw) for raw in batch]
    )
    tell("entry read by shared.wire", ours, "json.loads", floor, "none stated", len(batch))
    entries = [lines.decode(raw) for raw in batch]
    trees = [json.loads(raw) for raw in batch]
    ours, floor = pair(
        lambda: [lines.encode(one) for one in entries], lambda: [json.dumps(one) for one in trees]
    )
    tell("entry written by shared.wire", ours, "json.dumps", floor, "none stated", len(batch))
