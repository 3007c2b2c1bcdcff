"""What all bodies share: choices that are *other* come with their own words."""

from __future__ import annotations

from dataclasses import dataclass

from shared.errors import Unsound

NULLABLE = "nullable"
"""Marks an attribute whose key may be left out or null."""


@dataclass(frozen=True, slots=True)
class Body:
    """The root of the bodies. A body that breaks its own rule can't be built: ``Unsound`` says which."""

    def __post_init__(self) -> None:
        self.check()

    def check(self) -> None:
        """Raise ``Unsound`` where keys contradict each other. Most bodies have nothing to say here."""

    def keeps_null(self, name: str) -> bool:
        """Whether an attribute that is None is written as null here, and not left out."""
        return False


def other_needs_words(chosen: bool, other_text: str | None) -> None:
    """A choice of *other* says in words what it is."""
    if chosen and not other_text:
        raise Unsound("missing_key", "body.other_text", "a choice of other says in words what it is")
