"""The people of a farm."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Literal, get_args
from uuid import UUID

Role = Literal["crew", "tallier", "manager", "owner", "reader"]
ROLES: tuple[Role, ...] = get_args(Role)
Language = Literal["en", "es"]


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who makes entries. ``digits`` is the salted hash of four digits: a name tag, not a lock."""

    id: UUID
    name: str
    initials: str
    role: Role
    language: Language
    digits: str | None = None
    retired: bool = False


def digits_hash(person: UUID, digits: str) -> str:
    """What is kept of a person's four digits: the hex SHA-256 of their id, a colon and the digits. It keeps
    two people with the same digits apart on paper; it is a name tag's hash, which anyone can try through."""
    return hashlib.sha256(f"{person}:{digits}".encode()).hexdigest()
