"""Whether ground may be spread on by the rule, which is never whether it will bear a truck (ruling R20).

The bearing of ground is ``shared.reckoning.ground``; the two words are shown side by side and neither stands
for the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from shared.rules.judging import check, judged
from shared.rules.sheet import Sheet
from shared.words.finding import Finding

GroundState = Literal["frozen", "dry", "moist", "wet", "standing_water", "snow"]


@dataclass(frozen=True, slots=True)
class GroundToSpreadOn:
    """The state of one part's ground on the day of spreading. It says nothing of what it will carry."""

    part: str
    state: GroundState


@check
def may_be_spread_on(sheets: Iterable[Sheet], ground: GroundToSpreadOn) -> Iterator[Finding]:
    """Ground in a state in which a sheet bars spreading. No finding is no leave: a sheet may simply not
    say."""
    for sheet in sheets:
        clause = sheet.barred_ground
        if clause and ground.state in clause.value:
            yield judged(
                sheet,
                clause,
                f"ground_barred_{ground.state}",
                ground.part,
                cure="wait_for_ground",
                value=ground.state,
            )
