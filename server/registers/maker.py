"""``python -m server.registers.maker``: sets the registers that wait, one after the other, and ends.

A process of its own, so that neither its work nor its memory is the server's. It reads all lines first, as one state
of the book has them; then the press sets them part by part, which bounds what it takes of memory.
"""

from __future__ import annotations

import logging
import os
import shutil
from pathlib import Path
from typing import Any

from server.registers.press import Press, PressFailed

GENTLE = 10
LOG = logging.getLogger(__name__)


def make_all() -> int:
    """Set all that waits; how many that was."""
    from server.people.clock import now
    from server.registers import printings

    count = 0
    while (one := printings.claimed(now())) is not None:
        try:
            make(one)
        except Exception:
            # Whatever went wrong, whoever waits for it is told.
            LOG.exception("printing %s", one.id)
            _update(one, state="failed")
        count += 1
    return count


def make(one: Any) -> None:
    """Set one and keep it. Raises ``PressFailed``."""
    from server.people.clock import now
    from server.registers import printings, reads
    from server.registers.joining import joined, pages_of
    from server.registers.printed import head_of, in_parts, page_numbers

    register = reads.register_named(one.register)
    if register is None:
        raise PressFailed
    rooms = printings.folder() / str(one.id)
    shutil.rmtree(rooms, ignore_errors=True)
    rooms.mkdir(parents=True)
    farm, lines, columns = _read(one, register)
    head = head_of(farm, register, one.first, one.last, one.language, now(), one.field)
    _update(one, lines=columns.lines, number=farm.number)
    parts: list[Path] = []
    pages = done = 0
    with Press() as press:
        for html, count in in_parts(register, lines, one.language, head, columns):
            parts.append(rooms / f"{len(parts)}.pdf")
            parts[-1].write_bytes(press.set(html))
            pages, done = pages + pages_of(parts[-1]), done + count
            _update(one, lines_set=done, pages=pages)
        numbers = rooms / "numbers.pdf"
        numbers.write_bytes(press.set(page_numbers(head, pages)))
    whole = printings.file_of(one)
    joined(parts, numbers, whole.with_suffix(".part"))
    os.replace(whole.with_suffix(".part"), whole)
    shutil.rmtree(rooms, ignore_errors=True)
    size = whole.stat().st_size
    _update(one, state="ready", size=size, kept_until=now() + printings.KEPT)


READ_AGAIN = 3


def _read(one: Any, register: Any) -> tuple[Any, list[Any], Any]:
    """The farm, all lines and what columns they fill, as the book has them between two writings; where it is written
    in all the while, as it stands after some tries."""
    from server.people.models import Farm
    from server.registers.printed import Columns, lines_of
    from server.registers.reads import day_of, names, rows, spans

    for _ in range(READ_AGAIN):
        farm = Farm.objects.get(id=one.farm_id)
        called, columns = names(farm), Columns(len(register.columns))
        lines: list[Any] = []
        undated: set[Any] = set()
        for first, last in spans(farm.id, one.first, one.last):
            for row in rows(farm, register, first, last, one.field):
                # What has no day is told with every span of days: it stands once.
                if day_of(row) is not None or row.entry not in undated:
                    lines += lines_of(register, row, one.language, called)
                if day_of(row) is None:
                    undated.add(row.entry)
            _update(one)
        columns.look_at(lines)
        if Farm.objects.get(id=one.farm_id).number == farm.number:
            break
    return farm, lines or [], columns


def _update(one: Any, **how: Any) -> None:
    """Say how far it is, and that its maker is at work."""
    from server.people.clock import now
    from server.registers.models import Printing

    Printing.objects.filter(id=one.id).update(beat_at=now(), **how)


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.config.settings")
    os.nice(GENTLE)
    import django

    django.setup()
    make_all()


if __name__ == "__main__":
    main()
