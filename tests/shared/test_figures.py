"""Every number that the trade or a standard gives stands as a Figure with its unit and its source."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HELD = sorted(path for folder in ("reckoning", "rules") for path in (ROOT / "shared" / folder).rglob("*.py"))
BARE = {0, 1, 2, 100}
DECLARATIONS = {"Figure", "Source", "Input"}


def is_declaration(node: ast.AST) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in DECLARATIONS


def bare_numbers(tree: ast.Module) -> Iterator[tuple[int, float]]:
    """Numbers with their lines, but for those inside a Figure, Source or Input declared at module level."""

    def walk(node: ast.AST, at_module_level: bool) -> Iterator[tuple[int, float]]:
        if at_module_level and is_declaration(node):
            return
        if isinstance(node, ast.Constant) and type(node.value) in (int, float, complex):
            if node.value not in BARE:
                yield node.lineno, node.value
            return
        inside = isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef, ast.Lambda))
        for child in ast.iter_child_nodes(node):
            yield from walk(child, at_module_level and not inside)

    yield from walk(tree, True)


@pytest.mark.parametrize("path", HELD, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_number_but_0_1_2_and_100_stands_bare(path):
    found = [f"line {line}: {number}" for line, number in bare_numbers(ast.parse(path.read_text("utf-8")))]
    assert found == [], path


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("x = 0.5", [0.5]),
        ("def f():\n    return 3", [3]),
        ("def f():\n    return Figure(3, 'in', S)", [3]),
        ("def f(k=7):\n    return k", [7]),
        ("X = Figure(3.5, 'in', S)", []),
        ("X = {'a': Figure(3.5, 'in', S)}", []),
        ("X = (Input('a', low=0.0, high=60.0),)", []),
        ("def f(x):\n    return -2 * x + 100.0 * (x - 1) / 0.0", []),
        ("X = True", []),
    ],
)
def test_the_check_itself_finds_a_bare_number_and_lets_a_declared_one_be(text, wrong):
    assert [number for _, number in bare_numbers(ast.parse(text))] == wrong


def test_the_check_reads_the_folders_it_is_meant_for():
    assert {path.parent.name for path in HELD} >= {"reckoning", "rules"}
    assert len(HELD) > 30
