"""No sentence is built by gluing words together: word order is the language's business, so it stands in one place."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGES = ("server/web", "server/reading", "server/registers")
SAYERS = {"say", "trouble", "told", "titled", "said_again", "telling", "sentence"}
"""What answers with words of a person's language."""


def says(node: ast.AST) -> bool:
    if not isinstance(node, ast.Call):
        return False
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    return name in SAYERS


def functions(tree: ast.Module) -> Iterator[ast.AST]:
    yield from (
        one for one in ast.walk(tree) if isinstance(one, (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda))
    )


def glued(function: ast.AST) -> Iterator[ast.AST]:
    """Where words that were said, at once or under a name of this function, are put together with others."""
    named = {
        target.id
        for one in ast.walk(function)
        if isinstance(one, ast.Assign) and says(one.value)
        for target in one.targets
        if isinstance(target, ast.Name)
    }

    def worded(node: ast.AST) -> bool:
        return says(node) or (isinstance(node, ast.Name) and node.id in named)

    for one in ast.walk(function):
        pieces = (
            (piece.value for piece in one.values if isinstance(piece, ast.FormattedValue))
            if isinstance(one, ast.JoinedStr)
            else ()
        )
        added = isinstance(one, ast.BinOp) and isinstance(one.op, (ast.Add, ast.Mod))
        if any(map(worded, pieces)) or (added and (worded(one.left) or worded(one.right))):  # type: ignore[attr-defined]
            yield one


def found_in(folder: str) -> dict[str, ast.AST]:
    return {
        f"{file.relative_to(ROOT)}:{one.lineno}": one  # type: ignore[attr-defined]
        for file in sorted((ROOT / folder).rglob("*.py"))
        for function in functions(ast.parse(file.read_text("utf-8")))
        for one in glued(function)
    }


def with_words(node: ast.AST) -> bool:
    """Whether what is put beside the said words is words too, not the comma or the line between two of a list."""
    texts = [
        one.value for one in ast.walk(node) if isinstance(one, ast.Constant) and isinstance(one.value, str)
    ]
    keys = {
        arg.value
        for one in ast.walk(node)
        if says(one)
        for arg in ast.walk(one)
        if isinstance(arg, ast.Constant)
    }
    return any(letter.isalpha() for text in texts if text not in keys for letter in text)


def test_on_the_phone_nothing_said_is_put_together_with_anything() -> None:
    assert {where: ast.unparse(one) for where, one in found_in("mobile").items()} == {}


@pytest.mark.parametrize("folder", PAGES)
def test_on_a_page_nothing_said_is_put_together_with_words(folder: str) -> None:
    """A page may list what was said: *Mow: 3 June*."""
    assert {where: ast.unparse(one) for where, one in found_in(folder).items() if with_words(one)} == {}


def test_gluing_is_seen() -> None:
    glue = (
        'def f():\n    a = say("x")\n    return [f"{a}!", say("y") + " z", f"{say(1)} 2", "a" + "b", f"{1}"]'
    )
    (function,) = functions(ast.parse(glue))
    assert len(list(glued(function))) == 3
