"""`python -m tests.bench [NAME …]`: speeds, each as a ratio to a bare floor measured in the same run.

Nothing here passes or fails: a machine that is busy makes both sides slow, the ratio says what is ours. Each line
prints the medians, the ratio and the aim. The two sides of a pair are measured turn by turn, never one after
the other, so that a growing table or a warm cache favours neither.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

BESIDE = ("__main__", "measure", "laid", "laid_book", "stock")
SUBJECTS = sorted(path.stem for path in Path(__file__).parent.glob("*.py") if path.stem not in BESIDE)


def main(names: list[str]) -> int:
    unknown = [name for name in names if name not in SUBJECTS]
    if unknown:
        print(f"no bench {', '.join(unknown)}; there are: {', '.join(SUBJECTS)}", file=sys.stderr)
        return 2
    for name in names or SUBJECTS:
        print(f"\n{name}", flush=True)
        importlib.import_module(f"tests.bench.{name}").run()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
