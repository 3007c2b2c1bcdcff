"""A load's ticket as a page to print or share: a PDF with a printer's own typeface, written without any font file."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path

import pydyf

from mobile.trouble import DiskFailed, DiskFull

NO_ROOM = 28
WIDE_PT, HIGH_PT, MARGIN_PT = 283, 420, 24
"""A6, which four to a sheet fill A4."""
TITLE_PT, TEXT_PT, LINE_PT = 26, 11, 16
LABEL_PT = 96
LONGEST = 30
"""Letters that fit beside a label."""


def ticket_pdf(farm: str, ticket: str, lines: Sequence[tuple[str, str]]) -> bytes:
    """One page: the farm, the ticket's number, each fact with its label. Letters that the typeface (Windows-1252)
    has not are told by a question mark."""
    page = pydyf.Stream(compress=True)
    top = HIGH_PT - MARGIN_PT - TEXT_PT
    _text(page, farm, MARGIN_PT, top, TEXT_PT, bold=False)
    top -= TITLE_PT + 6
    _text(page, ticket, MARGIN_PT, top, TITLE_PT, bold=True)
    top -= 12
    page.set_line_width(1)
    page.move_to(MARGIN_PT, top)
    page.line_to(WIDE_PT - MARGIN_PT, top)
    page.stroke()
    for label, value in lines:
        for nth, piece in enumerate(_wrapped(value)):
            top -= LINE_PT
            if not nth:
                _text(page, label, MARGIN_PT, top, TEXT_PT, bold=False)
            _text(page, piece, MARGIN_PT + LABEL_PT, top, TEXT_PT, bold=True)
    return _document(page)


def _wrapped(value: str) -> list[str]:
    pieces = [""]
    for word in value.split():
        if pieces[-1] and len(pieces[-1]) + 1 + len(word) > LONGEST:
            pieces.append(word)
        else:
            pieces[-1] = f"{pieces[-1]} {word}".strip()
    return pieces


def _text(page: pydyf.Stream, text: str, x: float, y: float, size: float, bold: bool) -> None:
    page.begin_text()
    page.set_font_size("Heavy" if bold else "Plain", size)
    page.set_text_matrix(1, 0, 0, 1, x, y)
    page.show_text_string(text.encode("cp1252", "replace"))
    page.end_text()


def _document(page: pydyf.Stream) -> bytes:
    paper = pydyf.PDF()
    paper.add_object(page)
    fonts = pydyf.Dictionary()
    for name, base in (("Plain", "Helvetica"), ("Heavy", "Helvetica-Bold")):
        font = pydyf.Dictionary(
            {
                "Type": "/Font",
                "Subtype": "/Type1",
                "BaseFont": f"/{base}",
                "Encoding": "/WinAnsiEncoding",
            }
        )
        paper.add_object(font)
        fonts[name] = font.reference
    paper.add_page(
        pydyf.Dictionary(
            {
                "Type": "/Page",
                "Parent": paper.pages.reference,
                "MediaBox": pydyf.Array([0, 0, WIDE_PT, HIGH_PT]),
                "Contents": page.reference,
                "Resources": pydyf.Dictionary({"Font": fonts}),
            }
        )
    )
    out = io.BytesIO()
    paper.write(out)
    return out.getvalue()


def keep_ticket(folder: Path, name: str, pdf: bytes) -> Path:
    """The ticket as a file of its own in ``folder``. Raises ``DiskFull`` or ``DiskFailed``: no half file is left."""
    file = folder / f"{name}.pdf"
    part = file.with_suffix(".part")
    try:
        part.write_bytes(pdf)
        part.replace(file)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise DiskFull() if error.errno == NO_ROOM else DiskFailed(str(error)) from error
    return file
