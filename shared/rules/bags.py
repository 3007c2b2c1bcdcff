"""Bags off, litter out: before and after spreading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shared.rules.judging import check, judged
from shared.rules.sheet import Sheet
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True)
class BagFacts:
    """A load or a spreading: whether bags or boxes came with it, whether litter was seen in it, and whether
    each was taken out (None: not written down)."""

    subject: str
    bags_seen: bool = False
    bags_off: bool | None = None
    litter_seen: bool = False
    litter_off: bool | None = None


@check
def bags(sheets: Iterable[Sheet], facts: BagFacts) -> Iterator[Finding]:
    """Leaves still in bags, or litter still in the leaves, where a sheet wants them out. Not written down
    counts as not done, as a reminder."""
    for sheet in sheets:
        if sheet.bags_off and sheet.bags_off.value and facts.bags_seen and not facts.bags_off:
            firm = facts.bags_off is False
            yield judged(
                sheet, sheet.bags_off, "bags_on", facts.subject, cure="take_bags_off", value=False, firm=firm
            )
        if sheet.litter_off and sheet.litter_off.value and facts.litter_seen and not facts.litter_off:
            firm = facts.litter_off is False
            yield judged(
                sheet,
                sheet.litter_off,
                "litter_in",
                facts.subject,
                cure="pick_litter",
                value=False,
                firm=firm,
            )
