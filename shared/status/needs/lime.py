"""Lime that a soil test asks for and that nobody has spread since."""

from __future__ import annotations

from collections.abc import Iterator

from shared.status.needs.asked import FieldToday, Told, after, due
from shared.units import LB_PER_TON, Figure, Source
from shared.words.due import Due

LIME_TIMES = Source(
    "lime_times",
    "lime works for months before it is felt, so it is spread soon after the test and before the next one is due; a "
    "test of three years ago is taken anew; common practice, no source",
    None,
    "practice",
)
BEST_DAYS = Figure(90, "days after sampling", LIME_TIMES)
LAST_DAYS = Figure(365, "days after sampling", LIME_TIMES)
LAPSES_DAYS = Figure(1095, "days after sampling", LIME_TIMES)


def lime(ask: FieldToday) -> Iterator[Due]:
    """From the day of the sample: best within three months, last before the next yearly test. Met by lime spread on
    the field since; a test that asks for none, or is older than three years, asks for nothing here."""
    told = ask.status.lime
    if told is None or told.tons_per_ac <= 0 or ask.today > after(told.on, LAPSES_DAYS):
        return
    spread = ask.status.last_done("lime")
    if spread is not None and spread.on >= told.on:
        return
    pounds = round(told.tons_per_ac * LB_PER_TON.value)
    facts: dict[str, Told] = {"pounds": pounds, "lab": told.lab, "test_on": told.on}
    if told.how != "stated" and told.target is not None and told.ph is not None:
        facts |= {"ph": told.ph, "target": told.target}
    days = (told.on, after(told.on, BEST_DAYS), after(told.on, LAST_DAYS))
    why = "stated" if told.how == "stated" else "reckoned"
    yield due("lime", why, str(told.answer), days, facts, field=ask.field)
