"""A finding in a person's language: what is wrong, by which rule, and what would put it right."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from shared.languages import day, has, say
from shared.rules.sheet import Sheet
from shared.words.finding import Fact, Finding

SHIPPED_IN = "en"
"""The language in which the sheets that come with the program are titled."""


@dataclass(frozen=True, slots=True)
class Worded:
    """A finding's sentences. ``ask`` is *check with the authority*, None only where a value was read in the
    text and binds; ``notes`` are what the figure alone doesn't say."""

    says: str
    notes: tuple[str, ...]
    source: str | None
    cure: str | None
    ask: str | None

    def text(self) -> str:
        """All of it in one line."""
        parts = (self.says, *self.notes, self.cure, self.source, self.ask)
        return " ".join(part for part in parts if part)


def worded(finding: Finding, language: str, subject: str | None = None) -> Worded:
    """The sentences of a finding that a rule sheet's check gave. ``subject`` is the name to show in place of
    the finding's own. Raises ``UnknownName`` for a code, cure or language that has no sentences."""
    told = {name: _word(fact, language) for name, fact in finding.told().items()}
    told["subject"] = finding.subject if subject is None else subject
    told["sheet"] = sheet_title(finding, language)
    told["clause"] = _clause_title(finding.clause, language)
    if isinstance(finding.value, int) and not isinstance(finding.value, bool):
        told["count"] = finding.value
    return Worded(
        says=say(language, f"findings.{finding.code}", **told),
        notes=_notes(finding, language, told),
        source=say(language, f"finding_sources.{finding.standing}", **told) if finding.standing else None,
        cure=say(language, f"cures.{finding.cure}", **told) if finding.cure else None,
        ask=say(language, "findings.check_with_the_authority") if _must_ask(finding) else None,
    )


def _must_ask(finding: Finding) -> bool:
    force = dict(finding.facts).get("force")
    return finding.standing != "read" or force in ("guidance", "proposed")


def _notes(finding: Finding, language: str, told: dict[str, Any]) -> tuple[str, ...]:
    facts = dict(finding.facts)
    shown = []
    if facts.get("at_least") is True:
        shown.append("at_least")
    if "depth_now_in" in facts:
        shown.append("depth_now")
    if facts.get("unknown"):
        shown.append("unknown_tons")
    if facts.get("force") in ("guidance", "proposed"):
        shown.append(str(facts["force"]))
    return tuple(say(language, f"finding_notes.{note}", **told) for note in shown)


def sheet_title(of: Finding | Sheet, language: str) -> str:
    """A sheet's title: in the language where it came with the program, else as its author wrote it."""
    name, own = (of.name, of.title) if isinstance(of, Sheet) else (of.sheet, _own_title(of))
    key = f"sheet_titles.{name}"
    # A grower's sheet may stand in for one of ours under the same name, with a title of its own.
    return say(language, key) if has(language, key) and say(SHIPPED_IN, key) == own else own


def _own_title(finding: Finding) -> str:
    return str(dict(finding.facts).get("sheet_title", ""))


def _clause_title(clause: str, language: str) -> str:
    return say(language, f"clauses.{clause}") if clause else ""


def _word(fact: Fact | None, language: str) -> Any:
    if isinstance(fact, tuple):
        return ", ".join(_sheet_word(one, language) for one in fact)
    return day(language, fact, year=True) if isinstance(fact, date) else fact


def _sheet_word(word: str, language: str) -> str:
    """A word that sheets use for a field or a recipient; a grower's own stays as it was written."""
    key = f"sheet_words.{word}"
    return say(language, key) if has(language, key) else word
