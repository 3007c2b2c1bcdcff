from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from shared.words.moment import can_be, in_zone

HONOLULU, KIRITIMATI = ZoneInfo("Pacific/Honolulu"), ZoneInfo("Pacific/Kiritimati")


@pytest.mark.parametrize(
    ("at", "zone"),
    [
        (datetime(1, 1, 1, 3, tzinfo=UTC), HONOLULU),
        (datetime(9999, 12, 31, 20, tzinfo=UTC), KIRITIMATI),
    ],
)
def test_a_time_that_a_zone_would_take_off_the_calendar_stays_in_utc(at, zone):
    assert in_zone(at, zone) == at


def test_any_other_time_is_what_the_zones_clock_showed():
    assert in_zone(datetime(2026, 6, 1, 2, tzinfo=UTC), HONOLULU).date() == date(2026, 5, 31)


@pytest.mark.parametrize(
    ("day", "so"),
    [
        (date(1, 1, 1), False),
        (date(1899, 12, 31), False),
        (date(1900, 1, 1), True),
        (date(2200, 1, 1), False),
    ],
)
def test_a_record_is_of_a_day_that_somebody_can_have_worked_on(day, so):
    assert can_be(day) is so
