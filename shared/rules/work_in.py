"""Working leaves in: within days of spreading, or by the next season (ruling R9)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from shared.reckoning.deadlines import worked_in_by
from shared.rules.calendar import days_taken, last_day
from shared.rules.judging import check, judged
from shared.rules.sheet import Sheet
from shared.rules.work_in_clock import Clock
from shared.words.finding import Finding


@check
def work_in(
    sheets: Iterable[Sheet], clocks: Iterable[Clock], today: date, next_season_on: date | None = None
) -> Iterator[Finding]:
    """Ground not worked in by a sheet's last day, or not yet on ``today``.

    ``next_season_on`` is the date that the farm sets for *the next season*; the text does not set one, so
    passing it is a reminder and never a verdict, and so is not having set it.
    """
    runs = tuple(clocks)
    for sheet in sheets:
        yield from _by_days(sheet, runs, today)
        yield from _by_season(sheet, runs, today, next_season_on)


def _by_days(sheet: Sheet, runs: tuple[Clock, ...], today: date) -> Iterator[Finding]:
    clause = sheet.work_in_within_days
    if clause is None:
        return
    for run in runs:
        taken = days_taken(run.started, run.worked_on or today, clause.basis)
        if taken > clause.value:
            yield judged(
                sheet,
                clause,
                "worked_in_late" if run.worked_on else "work_in_overdue",
                run.part,
                cure="note_why_late" if run.worked_on else "work_in_now",
                value=taken,
                last_day=last_day(run.started, clause.value, clause.basis),
                spread_on=run.started,
            )


def _by_season(
    sheet: Sheet, runs: tuple[Clock, ...], today: date, next_season_on: date | None
) -> Iterator[Finding]:
    clause = sheet.work_in_by
    if clause is None:
        return
    for run in runs:
        if next_season_on is None or next_season_on < run.started:
            if run.worked_on is None:
                yield judged(
                    sheet,
                    clause,
                    "next_season_not_set",
                    run.part,
                    cure="set_next_season",
                    value=run.started,
                    firm=False,
                )
            continue
        done = run.worked_on or today
        by = worked_in_by(spread_on=run.started, next_season_date=next_season_on).last_day
        if done > by:
            yield judged(
                sheet,
                clause,
                "worked_in_late_for_season" if run.worked_on else "work_in_overdue_for_season",
                run.part,
                cure="note_why_late" if run.worked_on else "work_in_now",
                value=done,
                limit=by,
                firm=False,
                spread_on=run.started,
            )


def work_in_last_day(
    sheets: Iterable[Sheet], spread_on: date, next_season_on: date | None = None
) -> date | None:
    """The earliest last day for working in by any sheet, None where none sets one (or the farm has not said
    when the next season is)."""
    days = []
    for sheet in sheets:
        if sheet.work_in_within_days:
            days.append(last_day(spread_on, sheet.work_in_within_days.value, sheet.work_in_within_days.basis))
        if sheet.work_in_by and next_season_on is not None and next_season_on >= spread_on:
            days.append(worked_in_by(spread_on=spread_on, next_season_date=next_season_on).last_day)
    return min(days, default=None)
