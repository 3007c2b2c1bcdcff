"""Tons an acre in a year. Reporting tons never meet these: the tons are weighed or reckoned on the ground."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from math import fsum

from shared.rules.judging import check, judged, over
from shared.rules.sheet import Sheet
from shared.rules.spread import Spread, pieces_of
from shared.units import FT2_PER_ACRE
from shared.words.finding import Finding


@check
def rate(sheets: Iterable[Sheet], spreads: Sequence[Spread], on: date) -> Iterator[Finding]:
    """More tons an acre on one piece of ground, in the calendar year of ``on``, than a sheet allows.

    A limit in dry tons takes dry tons, one as received takes wet tons; where the text doesn't say which, the
    larger known figure is a reminder. Spreads whose tons on the basis aren't known count nothing, and the
    finding says so.
    """
    for sheet in sheets:
        clause = sheet.rate_tons_per_ac
        if clause is None:
            continue
        for piece in pieces_of(spreads):
            there = [
                one for one in spreads if piece in one.ground and one.on.year == on.year and one.on <= on
            ]
            tons = [(_tons(one, clause.basis), one.area_ft2) for one in there]
            laid = fsum(known / area * FT2_PER_ACRE.value for known, area in tons if known is not None)
            if over(laid, clause.value):
                yield judged(
                    sheet,
                    clause,
                    "rate_over",
                    piece,
                    cure="no_more_leaves_here",
                    value=laid,
                    firm=clause.basis != "unstated",
                    basis=clause.basis,
                    unknown=sum(known is None for known, _ in tons),
                )


def _tons(spread: Spread, basis: str) -> float | None:
    if basis == "dry":
        return spread.dry_tons
    if basis == "as_received":
        return spread.wet_tons
    return max((one for one in (spread.dry_tons, spread.wet_tons) if one is not None), default=None)
