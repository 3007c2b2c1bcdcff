"""What happened that somebody must be told of, and what may be a nuisance."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from shared.rules.judging import check, judged
from shared.rules.sheet import Sheet
from shared.words.finding import Finding

NUISANCES = ("complaint", "blown_leaves")


@dataclass(frozen=True, slots=True)
class OccurrenceFacts:
    """One occurrence on one day: what it was, whom it was told to (the names that sheets use) and whether it
    has been put right."""

    occurrence: str
    what: str
    on: date
    told: frozenset[str] = frozenset()
    is_put_right: bool = False


@check
def occurrences(sheets: Iterable[Sheet], facts: OccurrenceFacts) -> Iterator[Finding]:
    """An occurrence that a sheet wants told at once, not told yet to each; and an open complaint or blown
    leaves where a sheet asks for no nuisance (a reminder: a complaint is no proof)."""
    for sheet in sheets:
        at_once = sheet.tell_at_once
        if at_once and facts.what in at_once.value:
            untold = tuple(one for one in at_once.to or ("authority",) if one not in facts.told)
            if untold:
                yield judged(
                    sheet,
                    at_once,
                    f"tell_at_once_{facts.what}",
                    facts.occurrence,
                    cure="tell_now",
                    value=facts.on,
                    limit=untold,
                )
        quiet = sheet.nuisance_free
        if quiet and quiet.value and facts.what in NUISANCES and not facts.is_put_right:
            yield judged(
                sheet,
                quiet,
                f"nuisance_{facts.what}",
                facts.occurrence,
                cure="put_right",
                value=facts.on,
                firm=False,
            )
