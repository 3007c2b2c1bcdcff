"""A register as CSV (RFC 4180), safe to open in a spreadsheet: a cell that a spreadsheet would run is told as text."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from shared.status.registers import Register, written_row

RUN_BY_A_SPREADSHEET = ("=", "+", "-", "@", "\t", "\r")


class _Echo:
    def write(self, value: str) -> str:
        return value


def told_cell(text: str) -> str:
    """A leading apostrophe keeps a spreadsheet from taking words for a formula; a plain figure stays as it is."""
    if not text.startswith(RUN_BY_A_SPREADSHEET):
        return text
    try:
        float(text.replace(",", ""))
    except ValueError:
        return "'" + text
    return text


def csv_lines(
    register: Register, rows: Iterable[Any], language: str, names: Mapping[UUID, str]
) -> Iterable[str]:
    """The lines of the file one by one; UTF-8 with a mark at its start, so that a spreadsheet reads the accents."""
    writer = csv.writer(_Echo())
    yield "\ufeff" + writer.writerow(register.column_titles(language))
    for row in rows:
        yield writer.writerow([told_cell(cell) for cell in written_row(register, row, language, names)])
