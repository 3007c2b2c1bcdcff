"""Which lines ran while something was done, of the bodies of functions alone: what runs at import shows nothing."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import coverage

ROOT = Path(__file__).resolve().parents[2]


@dataclass
class LinesRun:
    """``share(parts)`` once the block is over."""

    measured: coverage.Coverage
    missing: dict[str, list[int]] = field(default_factory=dict)

    def share(self, *parts: str) -> float:
        """The share of the lines that ran, of all files at or under these paths."""
        files = [one for part in parts for one in _files(ROOT / part)]
        wanted = ran = 0
        for file in files:
            lines = _within_functions(file)
            _, statements, _, missing, _ = self.measured.analysis2(str(file))
            of_functions = lines & set(statements)
            gone = of_functions & set(missing)
            wanted, ran = wanted + len(of_functions), ran + len(of_functions) - len(gone)
            if gone:
                self.missing[str(file.relative_to(ROOT))] = sorted(gone)
        return ran / wanted


@contextmanager
def lines_run(*parts: str) -> Iterator[LinesRun]:
    files = [str(one) for part in parts for one in _files(ROOT / part)]
    measured = coverage.Coverage(data_file=None, include=files, config_file=False)
    measured.start()
    try:
        yield LinesRun(measured)
    finally:
        measured.stop()


def _files(place: Path) -> list[Path]:
    return [place] if place.is_file() else sorted(place.rglob("*.py"))


def _within_functions(file: Path) -> set[int]:
    """Lines of the bodies of functions, docstrings and the ``...`` of protocols left out."""
    lines: set[int] = set()
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef):
            for one in node.body:
                if not (isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant)):
                    lines.update(range(one.lineno, (one.end_lineno or one.lineno) + 1))
    return lines
