"""Rounds to walk and samples to take."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from shared.status.needs.asked import FieldToday, Told, after, before, due
from shared.status.needs.practice import (
    COVER_SEASONS,
    FIRM_FROM,
    FIRST_ROUND_DAYS,
    ROUND_EVERY_DAYS,
    ROUND_SLACK_DAYS,
    SAMPLE_EARLY_DAYS,
    SAMPLE_EVERY_DAYS,
    SEEN_WITHIN_DAYS,
    WEEDS_AGAIN_DAYS,
    WEEDS_BEST,
    WEEDS_FROM,
    WEEDS_UNTIL,
    in_year,
)
from shared.units import Figure
from shared.words.due import Due

RESTS = ("smother", "hay", "lead_in")
MOIST = "moist"
WEEDY = ("smother", "hay", "cash")
YEAR_END = Figure(1231, "month and day", SAMPLE_EVERY_DAYS.source)


def cover_round(ask: FieldToday) -> Iterator[Due]:
    """A cover that grows: looked at every week in its season, the first time three weeks after seeding."""
    leg = ask.status.leg
    if leg is None or leg.leg not in COVER_SEASONS:
        return
    start, end = (in_year(one, ask.today.year) for one in COVER_SEASONS[leg.leg])
    last = next((one for one in ask.status.cover if one.on >= leg.starts_on), None)
    first = max(start, after(leg.starts_on, FIRST_ROUND_DAYS))
    best = max(start, after(last.on, ROUND_EVERY_DAYS)) if last else first
    if best > end or ask.today > end:
        return
    days = (before(best, ROUND_SLACK_DAYS), best, after(best, ROUND_SLACK_DAYS))
    anchor = last.key if last and best > start else best.isoformat()
    if last:
        yield due(
            "cover_round",
            "weekly",
            anchor,
            days,
            {"last_on": last.on, "height": last.mean_in},
            field=ask.field,
        )
    else:
        yield due("cover_round", "first", anchor, days, {"sown_on": leg.starts_on}, field=ask.field)


def weed_round(ask: FieldToday) -> Iterator[Due]:
    """Weeds once a year before they set seed, and again four weeks after a round that was not low. Four weeks
    past its last day a round that was missed can't be made good: it lapses until the next year."""
    leg = ask.status.leg
    if leg is None or leg.leg not in WEEDY:
        return
    year, until = ask.today.year, in_year(WEEDS_UNTIL, ask.today.year)
    if ask.today > after(until, WEEDS_AGAIN_DAYS):
        return
    last = next(iter(ask.status.weeds), None)
    if last is None or last.on.year != year:
        days = (in_year(WEEDS_FROM, year), in_year(WEEDS_BEST, year), until)
        yield due("weed_round", "before_seed", str(year), days, {}, field=ask.field)
    elif last.word != "low" and after(last.on, WEEDS_AGAIN_DAYS) <= until:
        best = after(last.on, WEEDS_AGAIN_DAYS)
        days = (before(best, ROUND_EVERY_DAYS), best, until)
        yield due("weed_round", f"again_{last.word}", last.key, days, {"last_on": last.on}, field=ask.field)


def firmness_round(ask: FieldToday) -> Iterator[Due]:
    """The hard layer once a year while the field rests, when the ground is moist through: it has no last
    day. A round that could not say is to be gone on with."""
    leg = ask.status.leg
    if leg is None or leg.leg not in RESTS:
        return
    year = ask.today.year
    earliest = in_year(FIRM_FROM, year)
    last = next(iter(ask.status.firmness), None)
    if last is None or last.on.year != year:
        moist_on = _moist(ask)
        why, best = ("when_moist", None) if moist_on is None else ("moist_now", max(moist_on, earliest))
        facts: dict[str, Told] = {} if moist_on is None else {"seen_on": moist_on}
        yield due("firmness_round", why, str(year), (earliest, best, None), facts, field=ask.field)
    elif not last.sure:
        days: tuple[date | None, date | None, date | None] = (last.on, None, None)
        facts = {"hard": last.hard, "of": last.judged}
        yield due("firmness_round", "not_sure", last.key, days, facts, field=ask.field)


def _moist(ask: FieldToday) -> date | None:
    """The day on which the ground was seen moist, where that is still news."""
    seen = ask.status.ground
    if seen is None or seen.body.get("state") != MOIST or ask.today > after(seen.when[0], SEEN_WITHIN_DAYS):
        return None
    return seen.when[0]


def sample_soil(ask: FieldToday) -> Iterator[Due]:
    """Soil once a year: in the same season as the last, by the end of that year; never sampled, by the
    end of this."""
    last = ask.status.last_event("sample", "soil")
    if last is None:
        start, end = date(ask.today.year, 1, 1), _year_end(ask.today.year)
        yield due("sample_soil", "never", str(ask.today.year), (start, None, end), {}, field=ask.field)
        return
    best = after(last.on, SAMPLE_EVERY_DAYS)
    days = (before(best, SAMPLE_EARLY_DAYS), best, _year_end(last.on.year + 1))
    yield due("sample_soil", "yearly", str(last.id), days, {"last_on": last.on}, field=ask.field)


def _year_end(year: int) -> date:
    return in_year(YEAR_END, year)
