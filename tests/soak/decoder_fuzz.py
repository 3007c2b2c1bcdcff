"""Bytes against both decoders, led by coverage (atheris): an entry or a named reason, the same from both, never more.

python tests/soak/decoder_fuzz.py -runs=100000
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import atheris

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

with atheris.instrument_imports(include=["shared.wire", "server.intake"]):
    from server.intake import decoding
    from shared.errors import TooLarge, Unsound
    from shared.wire import lines


def told(decode: object, line: bytes) -> object:
    """The entry, or the reason: anything else that is raised is a finding."""
    try:
        return decode(line)  # type: ignore[operator]
    except Unsound as unsound:
        return (unsound.why, unsound.entry_id)
    except TooLarge as large:
        return (large.size, large.most)


def one(line: bytes) -> None:
    plain, compiled = told(lines.decode, line), told(decoding.decode, line)
    assert plain == compiled, (line, plain, compiled)
    if not isinstance(plain, tuple):
        assert lines.decode(lines.encode(plain)) == plain  # type: ignore[arg-type]


def main() -> None:
    with tempfile.TemporaryDirectory() as corpus:
        for golden in (ROOT / "tests/golden/v1").glob("*.json"):
            (Path(corpus) / golden.name).write_bytes(golden.read_bytes().rstrip(b"\n"))
        atheris.Setup([*sys.argv, corpus], one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
