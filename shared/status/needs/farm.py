"""Needs of the farm as a whole: piles, papers, reports, notices, organic ground, queries."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.rules.notice import notice_by
from shared.rules.report import reports_due
from shared.rules.sheet import Sheet
from shared.rules.storage import stored_until
from shared.status.fact import Fact
from shared.status.needs.asked import FieldToday, Told, after, before, due
from shared.status.needs.practice import (
    HOT_F,
    PAPER_BEST_DAYS,
    PAPER_EARLY_DAYS,
    PILE_EVERY_DAYS,
    REPORT_BEST,
    WARM_F,
    WARM_PILE_EVERY_DAYS,
    in_year,
)
from shared.status.piles import PileStatus
from shared.words.bodies.desk import Document
from shared.words.due import Due
from shared.words.verdict import Asked


def pile_check(pile: PileStatus, today: date) -> Iterator[Due]:
    """A pile that holds leaves: looked at twice a month, every day when over 140 F, at once when 160 F or
    more."""
    if pile.on_hand_yd3 <= 0 or (pile.checked is None and pile.oldest_on is None):
        return
    seen = pile.checked
    if seen is None and pile.oldest_on is not None:
        last = after(pile.oldest_on, PILE_EVERY_DAYS)
        days = (pile.oldest_on, last, last)
        yield due(
            "pile_check",
            "never",
            pile.oldest_on.isoformat(),
            days,
            {"came_on": pile.oldest_on},
            part=pile.pile,
        )
    elif seen is not None:
        temp = seen.temp_f
        warm = temp is not None and temp > Decimal(WARM_F.value)
        hot = temp is not None and temp >= Decimal(HOT_F.value)
        last = after(seen.on, WARM_PILE_EVERY_DAYS if warm else PILE_EVERY_DAYS)
        why = "hot" if hot else "warm" if warm else "twice_a_month"
        facts = {"temp": temp} if temp is not None and warm else {}
        days = (seen.on, last, seen.on if hot else last)
        yield due("pile_check", why, str(seen.entry), days, facts | {"last_on": seen.on}, part=pile.pile)


def spread_pile(pile: PileStatus, sheets: Sequence[Sheet], today: date) -> Iterator[Due]:
    """A pile that holds leaves: to be spread while the ground is fit, before its oldest load lies there longer
    than a sheet allows."""
    if pile.on_hand_yd3 <= 0 or pile.oldest_on is None:
        return
    last = stored_until(sheets, pile.oldest_on)
    facts: dict[str, Told] = {"yards": pile.on_hand_yd3, "came_on": pile.oldest_on}
    why = "from_pile_by" if last is not None else "from_pile"
    days = (pile.oldest_on, None, last)
    yield due("spread", why, pile.oldest_on.isoformat(), days, facts, part=pile.pile)


def organic_end(ask: FieldToday) -> Iterator[Due]:
    """The day from which a harvest may be sold as organic, while it lies ahead."""
    starts = ask.land.organic_from
    if starts is not None and starts > ask.today:
        yield due(
            "organic_end",
            "from_day",
            starts.isoformat(),
            (starts, starts, None),
            {"day_on": starts},
            field=ask.field,
        )


def papers(facts: Iterable[Fact], today: date) -> Iterator[Due]:
    """Papers that expire and visits with something to cure. Of papers alike in kind, town and title the
    last to expire counts."""
    latest: dict[tuple[str, UUID | None, str], tuple[date, str, Document]] = {}
    cures: list[tuple[str, date, Document]] = []
    for fact in facts:
        if fact.struck or not isinstance(fact.body, Document):
            continue
        paper = fact.body
        if paper.cure_by is not None:
            cures.append((str(fact.id), paper.cure_by, paper))
        if paper.expires_on is not None:
            alike = (paper.what, paper.town, paper.title)
            latest[alike] = max(
                latest.get(alike, (date.min, "", paper)),
                (paper.expires_on, str(fact.id), paper),
                key=lambda one: one[:2],
            )
    for expires, entry, paper in sorted(latest.values(), key=lambda one: one[:2]):
        days = (before(expires, PAPER_EARLY_DAYS), before(expires, PAPER_BEST_DAYS), expires)
        yield due("paper", "expires", entry, days, {"title": paper.title, "ends_on": expires})
    for entry, by, paper in sorted(cures, key=lambda one: one[:2]):
        yield due("paper", "cure_by", entry, (None, by, by), {"title": paper.title, "ends_on": by})


def reports(
    sheets: Sequence[Sheet], facts: Iterable[Fact], years_with_loads: Collection[int], today: date
) -> Iterator[Due]:
    """The report of the year before, where loads came in it; met by a *report* paper issued since that
    year ended."""
    year = today.year - 1
    if year not in years_with_loads or _has_paper(facts, "report", date(year + 1, 1, 1)):
        return
    for one in reports_due(sheets, year):
        days = (date(year + 1, 1, 1), in_year(REPORT_BEST, year + 1), one.due_on)
        to = ", ".join(one.to)
        yield due(
            "report",
            "yearly",
            f"{one.sheet.name}:{year}",
            days,
            {"year": year, "to": to, "sheet": one.sheet.title},
        )


def notices(
    sheets: Sequence[Sheet], facts: Iterable[Fact], leaves_from: date | None, today: date
) -> Iterator[Due]:
    """The notice before the first leaves of a season, where a sheet asks for one; met by a *notice* paper
    of that year. ``leaves_from`` is the day that the farm expects them, None where it has set none."""
    if leaves_from is None or _has_paper(facts, "notice", date(leaves_from.year, 1, 1)):
        return
    last = notice_by(sheets, leaves_from)
    if last is not None:
        days = (before(last, PAPER_EARLY_DAYS), before(last, PAPER_BEST_DAYS), last)
        yield due("notice", "before_leaves", str(leaves_from.year), days, {"starts_on": leaves_from})


def _has_paper(facts: Iterable[Fact], what: str, since: date) -> bool:
    papers = [fact.body for fact in facts if not fact.struck and isinstance(fact.body, Document)]
    return any(one.what == what and one.issued_on is not None and one.issued_on >= since for one in papers)


def answers(asked: Iterable[Asked]) -> Iterator[Due]:
    """A query that has not been answered, for the person it was put to."""
    for one in sorted(asked, key=lambda one: str(one.id)):
        if not one.answered:
            on = one.asked_at.utc.date() if one.asked_at.utc else None
            yield due("answer", "asked", str(one.id), (on, on, None), {"text": one.text or ""}, person=one.to)
