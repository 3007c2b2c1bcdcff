"""A finding: one thing for a person to read, which stops nothing. The sentence is made elsewhere, by code.

A rule sheet's check answers with findings; so may anything else that notices something in the book (then
there is no sheet, no clause and no standing).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal, get_args

SheetStanding = Literal["read", "summary", "unconfirmed"]
"""How a rule sheet's value is known: ``read`` in the text; ``summary``: in a summary of it, a form or a fact
sheet; ``unconfirmed``: not seen in either."""

Severity = Literal["verdict", "reminder"]
"""``verdict``: a value the sheet's authority sets is passed. ``reminder``: something to look at or to ask
about."""

Fact = str | int | float | bool | date | tuple[str, ...]
"""What a finding tells: a figure (its unit beside it), a day, a word, or a list of words."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What one check found, ready to be worded in any language.

    ``code`` never changes once shipped: the sentence is ``findings.<code>`` and the cure ``cures.<cure>``.
    ``subject`` is the part, field, load, pile or record spoken of. ``sheet`` and ``clause`` name the rule
    sheet and its key, ``citation`` the place in the authority's own text; all three are empty where no sheet
    is behind the finding. ``value`` is what was found and ``limit`` what the sheet says, both in ``unit``
    (empty where there is none). ``facts`` are the further named facts that the sentences use, sorted by name.

    Raises ``ValueError`` for a verdict on an unconfirmed value: that can't be built.
    """

    code: str
    subject: str
    severity: Severity
    cure: str = ""
    value: Fact | None = None
    limit: Fact | None = None
    unit: str = ""
    sheet: str = ""
    clause: str = ""
    citation: str = ""
    standing: SheetStanding | None = None
    facts: tuple[tuple[str, Fact], ...] = ()

    def __post_init__(self) -> None:
        if self.severity not in get_args(Severity):
            raise ValueError(f"severity {self.severity!r} is none of {get_args(Severity)}")
        if self.severity == "verdict" and self.standing == "unconfirmed":
            raise ValueError(f"{self.sheet} {self.clause}: an unconfirmed value is never a verdict")

    @property
    def is_verdict(self) -> bool:
        return self.severity == "verdict"

    def told(self) -> dict[str, Fact | None]:
        """Every fact by name, as a sentence's blanks take them."""
        named: dict[str, Fact | None] = {
            "subject": self.subject,
            "value": self.value,
            "limit": self.limit,
            "unit": self.unit,
            "citation": self.citation,
        }
        return named | dict(self.facts)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings without repeats, verdicts first, then by subject, code, sheet and clause: the same
    whatever order they were found in."""
    return tuple(sorted(set(findings), key=_rank))


def _rank(finding: Finding) -> tuple[str, ...]:
    return (
        "0" if finding.is_verdict else "1",
        finding.subject,
        finding.code,
        finding.sheet,
        finding.clause,
        repr((finding.value, finding.limit, finding.facts)),
    )
