"""Trash, each limit on its own basis: a share by weight is never compared with a limit by volume."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shared.reckoning.computation import Input
from shared.reckoning.trash import trash_by_volume, trash_weighed
from shared.rules.judging import check, judged, over
from shared.rules.sheet import Clause, Sheet
from shared.words.finding import Finding

_PCT = Input("trash_pct", unit="%", low=0, high=100)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrashFacts:
    """What is known of one load's trash: each share in percent on its own basis, None where not measured.

    ``seen`` says that some was seen at all. Raises ``OutOfRange`` for a share outside 0 to 100.
    """

    load: str
    seen: bool
    weight_pct: float | None = None
    dry_weight_pct: float | None = None
    volume_pct: float | None = None

    def __post_init__(self) -> None:
        for share in (self.weight_pct, self.dry_weight_pct, self.volume_pct):
            if share is not None:
                _PCT.check(share)


def weighed(load: str, sample_lb: float, trash_lb: float) -> TrashFacts:
    """A weighed sample's share by weight as received. Raises ``InputError`` as ``trash_weighed`` does."""
    share = trash_weighed(sample_lb, trash_lb).trash_pct
    return TrashFacts(load=load, seen=trash_lb > 0, weight_pct=share)


def by_volume(load: str, yards_yd3: float, trash_gal: float) -> TrashFacts:
    """A load's share by volume. Raises ``InputError`` as ``trash_by_volume`` does."""
    share = trash_by_volume(yards_yd3, trash_gal).trash_pct
    return TrashFacts(load=load, seen=trash_gal > 0, volume_pct=share)


@check
def trash(sheets: Iterable[Sheet], facts: TrashFacts) -> Iterator[Finding]:
    """Trash over a limit of its own basis. Trash seen, but not measured on the basis that a sheet limits, is
    a reminder to measure it so."""
    for sheet in sheets:
        for clause, share, basis in _pairs(sheet, facts):
            if share is None:
                if facts.seen:
                    yield judged(
                        sheet,
                        clause,
                        f"trash_unmeasured_{basis}",
                        facts.load,
                        cure=f"measure_{basis}",
                        firm=False,
                    )
            elif over(share, clause.value):
                yield judged(
                    sheet, clause, f"trash_over_{basis}", facts.load, cure="turn_back_or_pick", value=share
                )


def _pairs(sheet: Sheet, facts: TrashFacts) -> Iterator[tuple[Clause[float], float | None, str]]:
    if sheet.trash_weight_pct:
        yield sheet.trash_weight_pct, facts.weight_pct, "weight"
    if sheet.trash_dry_weight_pct:
        yield sheet.trash_dry_weight_pct, facts.dry_weight_pct, "dry_weight"
    if sheet.trash_volume_pct:
        yield sheet.trash_volume_pct, facts.volume_pct, "volume"
