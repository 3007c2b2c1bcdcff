"""What a record has to say, and when it has to be made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from shared.rules.judging import check, judged
from shared.rules.sheet import Clause, Sheet
from shared.words.finding import Finding

RecordKind = Literal["load", "refused", "found", "complaint", "activity", "input"]
"""``load``: an intake line; ``refused``: a load turned back; ``found``: material that should not have come;
``complaint``; ``activity``: work done in a field; ``input``: a material brought onto the land."""


@dataclass(frozen=True, slots=True)
class RecordFacts:
    """One record: its kind, what it says (by the names that sheets use), the farm-local day of the act and
    the day it was written down."""

    record: str
    kind: RecordKind
    says: frozenset[str]
    done_on: date
    made_on: date


@check
def records(sheets: Iterable[Sheet], facts: RecordFacts) -> Iterator[Finding]:
    """A record that leaves out what a sheet asks of its kind, or that was not made when the act was done.

    Being made later than the day itself is told of every kind where a sheet wants records made at once.
    """
    for sheet in sheets:
        fields: Clause[tuple[str, ...]] | None = getattr(sheet, f"{facts.kind}_fields")
        if fields:
            missing = tuple(one for one in fields.value if one not in facts.says)
            if missing:
                yield judged(
                    sheet,
                    fields,
                    f"record_short_{facts.kind}",
                    facts.record,
                    cure="add_fields",
                    value=missing,
                )
        at_once = sheet.made_when_done
        if at_once and at_once.value and facts.made_on > facts.done_on:
            yield judged(
                sheet,
                at_once,
                "record_made_later",
                facts.record,
                cure="write_when_done",
                value=facts.made_on,
                limit=facts.done_on,
            )


def fields_asked(sheets: Iterable[Sheet], kind: RecordKind) -> tuple[str, ...]:
    """Everything that the sheets ask of a kind of record, each once, in the order of the sheets."""
    asked: dict[str, None] = {}
    for sheet in sheets:
        fields: Clause[tuple[str, ...]] | None = getattr(sheet, f"{kind}_fields")
        asked.update(dict.fromkeys(fields.value if fields else ()))
    return tuple(asked)
