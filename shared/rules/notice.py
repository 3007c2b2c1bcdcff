"""Telling the authority before leaves come: what its form asks, and by when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from shared.rules.judging import check, judged
from shared.rules.sheet import Sheet
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True)
class NoticeFacts:
    """The notice for one place to one sheet's authority: the day it was given (None: not yet), what it told,
    and the first day leaves come (or came)."""

    place: str
    given_on: date | None
    told: frozenset[str]
    starts_on: date


@check
def notice(sheets: Iterable[Sheet], facts: NoticeFacts, today: date) -> Iterator[Finding]:
    """A notice not given, incomplete, or given too late before the start."""
    for sheet in sheets:
        yield from _told(sheet, facts)
        clause = sheet.notice_days_before
        if clause is None:
            continue
        by = facts.starts_on - timedelta(days=clause.value)
        given = facts.given_on or today
        if given > by:
            yield judged(
                sheet,
                clause,
                "notice_late" if facts.given_on else "notice_overdue",
                facts.place,
                cure="give_notice",
                value=given,
                limit=by,
                to=clause.to,
            )


def _told(sheet: Sheet, facts: NoticeFacts) -> Iterator[Finding]:
    fields = sheet.notice_fields
    if fields is None:
        return
    if facts.given_on is None:
        yield judged(sheet, fields, "notice_missing", facts.place, cure="give_notice", to=fields.to)
        return
    missing = tuple(one for one in fields.value if one not in facts.told)
    if missing:
        yield judged(
            sheet, fields, "notice_incomplete", facts.place, cure="add_fields", value=missing, to=fields.to
        )


def notice_by(sheets: Iterable[Sheet], starts_on: date) -> date | None:
    """The earliest last day for the notice by any sheet, None where none sets one."""
    days = [one.notice_days_before.value for one in sheets if one.notice_days_before]
    return min((starts_on - timedelta(days=one) for one in days), default=None)
