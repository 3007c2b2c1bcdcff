"""A finding in a person's language, whether a rule sheet is behind it or not."""

from __future__ import annotations

from shared.languages import day, say
from shared.rules.wording import worded
from shared.words.finding import Finding


def told(finding: Finding, language: str, subject: str | None = None) -> str:
    """What is wrong and what would put it right, in one line. ``subject`` is the name to show in place of the
    finding's own. Raises ``UnknownName`` for a code or language that has no sentences."""
    if finding.sheet:
        return worded(finding, language, subject).text()
    facts = dict(finding.facts)
    leg, on = facts.get("leg"), facts.get("on")
    shown = {
        "subject": finding.subject if subject is None else subject,
        "leg": say(language, f"legs.{leg}" if leg else "noticed_legs.unknown"),
        "on": day(language, on, year=True)
        if on is not None and not isinstance(on, (str, int, float, tuple))
        else "",
    }
    says = say(language, f"noticed.{finding.code}", **shown)
    return f"{says} {say(language, f'noticed_cures.{finding.cure}')}" if finding.cure else says
