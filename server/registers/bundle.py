"""Every register of some days in one file, with the farm's book and how anybody proves it without this server."""

from __future__ import annotations

import tempfile
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from typing import IO
from zoneinfo import ZoneInfo

from server.book.export import exported
from server.people.models import Farm
from server.reading import sealing
from server.registers import reads
from server.registers.press import pressed_all
from server.registers.printed import as_html, head_of
from server.registers.sheet_csv import csv_lines
from shared.languages import day, say
from shared.status.registers import REGISTERS

IN_MEMORY = 16 * 1024 * 1024
README = "README.txt"
BOOK = "book.ndjson"
COMMAND = f"python -m shared.proof {BOOK}"


def bundle(farm: Farm, language: str, first: date, last: date, now: datetime) -> IO[bytes]:
    """The zip, open at its beginning. Raises ``PressFailed``."""
    names = reads.names(farm)
    out = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as folder:
        folder.writestr(README, "\n\n".join(readme(farm, language, first, last)) + "\n")
        pages = []
        for register in REGISTERS.values():
            rows = reads.rows(farm, register, first, last)
            head = head_of(farm, register, first, last, language, now)
            pages.append(as_html(register, rows, language, names, head))
            lines = csv_lines(register, rows, language, names)
            folder.writestr(f"registers/{register.name}.csv", "".join(lines))
        for register, pdf in zip(REGISTERS.values(), pressed_all(pages), strict=True):
            folder.writestr(f"registers/{register.name}.pdf", pdf)
        with folder.open(BOOK, "w", force_zip64=True) as book:
            for lines in exported(farm):
                book.write(lines)
    out.seek(0)
    return out


def readme(farm: Farm, language: str, first: date, last: date) -> Iterator[str]:
    """What lies in the file, and how to prove the book."""
    days = {"first": day(language, first, year=True), "last": day(language, last, year=True)}
    yield say(language, "logs.readme.title", farm=farm.name, **days)
    yield say(language, "logs.readme.files")
    yield say(language, "logs.readme.prove")
    yield f"    {COMMAND}"
    yield say(language, "logs.readme.what")
    yield say(language, "logs.readme.not_proved")
    yield say(language, "logs.readme.end", number=farm.number, chain=farm.chain)
    yield say(language, "logs.readme.seals")
    zone = ZoneInfo(farm.zone)
    for one in sealing.seals(farm.id):
        facts = {"first": one.body.first, "last": one.body.last, "root": one.body.root}
        yield say(language, "logs.readme.seal", at=f"{one.at.astimezone(zone):%Y-%m-%d %H:%M}", **facts)
