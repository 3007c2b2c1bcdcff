"""A register as a workbook: dates are dates, figures are figures, and no words are ever a formula."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from datetime import date, time
from decimal import Decimal
from typing import Any
from uuid import UUID

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter

from server.registers.printed import Head
from shared.status.registers import Register, row_values, written_row

STRUCK = Font(strike=True)
STRONG = Font(bold=True)
WIDTH = 16
MOST_LETTERS = 32_767
"""What a cell of a workbook holds."""


def workbook(
    register: Register, rows: Iterable[Any], language: str, names: Mapping[UUID, str], head: Head
) -> bytes:
    """The workbook's bytes: what it is and by which sheets, then the titles, then a line for each row; above a
    corrected one, struck through, what it said before."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet(_told(register.title(language))[:31])
    sheet.freeze_panes = f"A{len(head.lines) + 3}"
    for place in range(1, len(register.columns) + 1):
        sheet.column_dimensions[get_column_letter(place)].width = WIDTH
    for line in (register.title(language), *head.lines):
        sheet.append([_cell(sheet, line, STRONG if line == register.title(language) else None)])
    sheet.append([_cell(sheet, title, STRONG) for title in register.column_titles(language)])
    for row in rows:
        was = getattr(row, "was", None)
        if was is not None:
            sheet.append(_line(sheet, register, was, language, names, STRUCK))
        struck = STRUCK if getattr(row, "struck", False) else None
        sheet.append(_line(sheet, register, row, language, names, struck))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _line(
    sheet: Any, register: Register, row: Any, language: str, names: Mapping[UUID, str], font: Font | None
) -> list[WriteOnlyCell]:
    values = zip(row_values(register, row), written_row(register, row, language, names), strict=True)
    return [
        _cell(sheet, value if isinstance(value, (int, Decimal, date, time)) else text, font)
        for value, text in values
    ]


def _cell(sheet: Any, value: Any, font: Font | None) -> WriteOnlyCell:
    cell = WriteOnlyCell(sheet, value=_told(value) if isinstance(value, str) else value)
    if isinstance(value, str):
        # Words stay words: a cell that begins with an equals sign would be run.
        cell.data_type = "s"
    if isinstance(value, date):
        cell.number_format = "yyyy-mm-dd"
    cell.alignment = Alignment(vertical="top")
    if font is not None:
        cell.font = font
    return cell


def _told(text: str) -> str:
    return ILLEGAL_CHARACTERS_RE.sub("", text)[:MOST_LETTERS]
