"""Which lines ran while something was done, of the bodies of functions alone: what runs at import shows nothing."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import coverage

ROOT = Path(__file__).resolve().parents[2]
SET_UP = """
import json, sys, coverage
files = json.loads(sys.argv[1])
measured = coverage.Coverage(data_file=None, include=files, config_file=False)
measured.start()
import django
django.setup()
import mobile.storage, mobile.actions.hand_in, server.config.wsgi, server.intake.carried, server.intake.again
from django.urls import get_resolver
get_resolver().url_patterns
measured.stop()
data = measured.get_data()
print(json.dumps({file: sorted(data.lines(file) or []) for file in files}))
"""


@dataclass
class LinesRun:
    """``share(parts)`` once the block is over."""

    measured: coverage.Coverage
    at_import: dict[str, set[int]]
    missing: dict[str, list[int]] = field(default_factory=dict)

    def share(self, *parts: str) -> float:
        """The share of the lines that ran, of all files at or under these paths."""
        files = [one for part in parts for one in _files(ROOT / part)]
        wanted = ran = 0
        for file in files:
            lines = _within_functions(file) - self.at_import.get(str(file), set())
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
    at_import = _run_at_import(files)
    measured = coverage.Coverage(data_file=None, include=files, config_file=False)
    measured.start()
    try:
        yield LinesRun(measured, at_import)
    finally:
        measured.stop()


def _run_at_import(files: list[str]) -> dict[str, set[int]]:
    """Lines that run when these modules are read and the server is set up: they show nothing of a simulation."""
    done = subprocess.run(
        [sys.executable, "-c", SET_UP, json.dumps(files)],
        cwd=ROOT,
        env=os.environ | {"DJANGO_SETTINGS_MODULE": "server.config.settings", "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    return {file: set(lines) for file, lines in json.loads(done.stdout.splitlines()[-1]).items()}


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
