"""What was looked for in a sheet's text and not found: never the same as *no limit*."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shared.rules.judging import check
from shared.rules.sheet import Sheet
from shared.words.finding import Finding


@check
def not_found(sheets: Iterable[Sheet]) -> Iterator[Finding]:
    """A reminder for each key that a sheet's author looked for and did not find."""
    for sheet in sheets:
        for one in sheet.unfound:
            yield Finding(
                "not_found",
                sheet.name,
                "reminder",
                cure="ask_authority",
                sheet=sheet.name,
                clause=one.key,
                facts=(("note", one.note), ("read_on", one.read_on), ("sheet_title", sheet.title)),
            )
