"""What every register shares: its columns, and how a row's values are put in a language."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from typing import Any
from uuid import UUID

from shared.languages import day, figure, say
from shared.status.field_status import FieldStatus
from shared.status.holding import Holding

Value = str | int | Decimal | date | time | UUID | None
"""What stands in a column: a UUID is told by the name that it goes by."""


@dataclass(frozen=True, slots=True)
class Word:
    """A choice from a closed list, told by the key ``registers.word.<word>``."""

    word: str

    def text(self, language: str) -> str:
        return say(language, f"registers.word.{self.word}")


@dataclass(frozen=True, slots=True)
class Choice:
    """A choice as the entry itself is told, by the key ``entries.<table>.<choice>``."""

    choice: str
    table: str = "choice"

    def text(self, language: str) -> str:
        return say(language, f"entries.{self.table}.{self.choice}")


Cell = Value | Word | Choice | tuple[Word, ...] | tuple[str, ...] | tuple[UUID, ...]


@dataclass(frozen=True, slots=True)
class Register:
    """A register's name and the keys of its columns, in the order in which they are printed; ``source`` is the text
    that asks for it."""

    name: str
    columns: tuple[str, ...]

    def source(self, language: str) -> str:
        return say(language, f"registers.{self.name}.source")

    def title(self, language: str) -> str:
        return say(language, f"registers.{self.name}.title")

    def column_titles(self, language: str) -> tuple[str, ...]:
        return tuple(say(language, f"registers.column.{key}") for key in self.columns)


@dataclass(frozen=True, slots=True)
class Ground:
    """A field with its status, for the days on which leaves were spread and worked in."""

    status: FieldStatus
    land: Holding


def row_values(register: Register, row: Any) -> tuple[Cell, ...]:
    """A row's values in the register's order, untold: for a sheet that keeps dates and figures as such."""
    cells: Mapping[str, Cell] = getattr(row, "cells", {})
    return tuple(cells[key] if key in cells else getattr(row, key) for key in register.columns)


def written_row(register: Register, row: Any, language: str, names: Mapping[UUID, str]) -> tuple[str, ...]:
    """A row as a person reads it, in the register's order. A UUID without a name is told by its first
    digits."""
    return tuple(_written(cell, language, names) for cell in row_values(register, row))


def _written(cell: Cell, language: str, names: Mapping[UUID, str]) -> str:
    if cell is None:
        return ""
    if isinstance(cell, (Word, Choice)):
        return cell.text(language)
    if isinstance(cell, tuple):
        return ", ".join(_written(one, language, names) for one in cell)
    if isinstance(cell, UUID):
        return names.get(cell, str(cell)[:8])
    if isinstance(cell, date):
        return day(language, cell, year=True)
    if isinstance(cell, time):
        return cell.strftime("%H:%M")
    if isinstance(cell, Decimal):
        return figure(language, cell)
    return str(cell)


def words(choices: Sequence[str]) -> tuple[Word, ...]:
    """Several choices, in the order that they were written."""
    return tuple(Word(one) for one in choices)
