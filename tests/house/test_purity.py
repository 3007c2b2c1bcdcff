"""The core asks nothing of the world: no clock, disk, network, environment or chance."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHARED = sorted((ROOT / "shared").rglob("*.py"))
SHELLS = {ROOT / "shared/reckoning/__main__.py", ROOT / "shared/proof/__main__.py"}
READERS = {ROOT / "shared/rules/sheets/__init__.py", ROOT / "shared/languages/__init__.py"}
FORBIDDEN_MODULES = {
    *("os", "io", "time", "random", "secrets", "socket", "sqlite3", "logging", "threading", "subprocess"),
    *("pathlib", "tempfile", "shutil", "asyncio", "http", "urllib", "requests", "platform", "locale"),
}
FORBIDDEN_CALLS = {
    "now",
    "today",
    "utcnow",
    "uuid1",
    "uuid4",
    "open",
    "input",
    "print",
    "getenv",
    "urandom",
    "localtime",
}
STANDARD_OR_OURS = {"shared", "geographiclib"}


def names_called(tree: ast.AST) -> set[str]:
    called = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            if isinstance(node.func, ast.Name):
                called.add(node.func.id)
            elif isinstance(node.func, ast.Attribute):
                called.add(node.func.attr)
    return called


def modules_imported(tree: ast.AST) -> set[str]:
    out = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            out |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            out.add(node.module or "")
    return out


@pytest.mark.parametrize(
    "path", [p for p in SHARED if p not in SHELLS], ids=lambda p: str(p.relative_to(ROOT))
)
def test_a_module_of_the_core_asks_nothing_of_the_world(path: Path):
    tree = ast.parse(path.read_text("utf-8"))
    modules = modules_imported(tree)
    assert not {name.split(".")[0] for name in modules} & FORBIDDEN_MODULES
    assert not names_called(tree) & FORBIDDEN_CALLS
    if path not in READERS:
        assert "importlib.resources" not in modules


def test_the_core_takes_only_pure_packages():
    import sys

    foreign = set()
    for path in SHARED:
        for name in modules_imported(ast.parse(path.read_text("utf-8"))):
            top = name.split(".")[0]
            if top not in sys.stdlib_module_names and top not in STANDARD_OR_OURS:
                foreign.add(f"{path.relative_to(ROOT)}: {name}")
    assert foreign == set()


def test_an_import_stands_at_the_top_of_its_module():
    """At most five imports hidden in functions in the whole core: a reader can't see those."""
    hidden = []
    for path in SHARED:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
                hidden += [
                    f"{path.name}:{inner.lineno}"
                    for inner in ast.walk(node)
                    if isinstance(inner, (ast.Import, ast.ImportFrom))
                ]
    assert len(hidden) <= 5, hidden
