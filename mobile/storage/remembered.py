"""What was read of the copy and the settings, kept until it changes: a save looks at both.

All changes of a storage go through one ``PhoneBook``, from whatever thread; each tells so here.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any


class Remembered:
    def __init__(self) -> None:
        self._turn = 0
        self._known: dict[Hashable, Any] = {}

    def forget(self) -> None:
        """Something was written: whatever was read before it, or is being read now, is no longer sure."""
        self._turn += 1
        self._known = {}

    def get(self, key: Hashable, read: Callable[[], Any]) -> Any:
        known = self._known
        if key in known:
            return known[key]
        turn = self._turn
        found = read()
        if turn == self._turn:
            self._known[key] = found
        return found


class WorkedOut:
    """What was reckoned from the book and not only read of it: kept until anything at all is written to it."""

    def __init__(self) -> None:
        self._as_of = -1
        self._known: dict[Hashable, Any] = {}

    def get(self, as_of: Callable[[], int], key: Hashable, work: Callable[[], Any]) -> Any:
        began = as_of()
        if began != self._as_of:
            self._as_of, self._known = began, {}
        known = self._known
        if key in known:
            return known[key]
        found = work()
        if began == as_of():
            known[key] = found
        return found
