"""How long a record is kept: by every sheet in force, and the longest wins."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from shared.reckoning.deadlines import years_after
from shared.rules.judging import check, judged
from shared.rules.sheet import Clause, Sheet
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True)
class Keeping:
    """Until when one sheet wants a record kept, that day included."""

    sheet: Sheet
    clause: Clause[int]
    until: date


def keep_until(sheets: Iterable[Sheet], made_on: date) -> tuple[Keeping, ...]:
    """Every sheet's last day for a record made on a day, the longest first; empty where none sets one. What
    is advice or unconfirmed counts too: keeping longer harms nothing."""
    kept = [
        Keeping(one, one.retention_years, _until(one.retention_years, made_on))
        for one in sheets
        if one.retention_years
    ]
    return tuple(sorted(kept, key=lambda one: (-one.until.toordinal(), one.sheet.name)))


def _until(clause: Clause[int], made_on: date) -> date:
    if clause.basis == "reporting_year":
        return date(made_on.year + clause.value + 1, 1, 1) - timedelta(days=1)
    return years_after(made_on, clause.value)


@check
def may_be_discarded(sheets: Iterable[Sheet], record: str, made_on: date, on: date) -> Iterator[Finding]:
    """Every sheet that still wants the record kept on the day ``on``; nothing where none does."""
    for kept in keep_until(sheets, made_on):
        if on <= kept.until:
            yield judged(
                kept.sheet,
                kept.clause,
                "keep_record",
                record,
                cure="keep_until",
                value=on,
                limit=kept.until,
                years=kept.clause.value,
            )
