"""Old editions of a body brought up to the newest, one small step an edition.

A step takes the JSON object of edition n and gives that of n + 1. The bytes in the book never change.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Step = Callable[[dict[str, Any]], dict[str, Any]]

NEWEST: dict[str, int] = {}
"""The newest edition of each kind; a kind that is not listed is at its first."""
STEPS: dict[tuple[str, int], Step] = {}
"""The step from (kind, edition) to the next edition."""


def upgraded(kind: str, edition: int, tree: Any) -> Any:
    """The body as the newest edition writes it. What is no object is left for the reader to refuse."""
    while type(tree) is dict and edition < NEWEST.get(kind, 1):
        tree = STEPS[kind, edition](tree)
        edition += 1
    return tree
