"""A day's positions and wakeups, counted: a phone that is used all day must last it."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.actions.sending import IDLE_S, Sending
from mobile.actions.sparing import AWAKE_MS, KNOWN_FOR_MS, SparingReceiver
from mobile.device.fake import FakeClock, FixedPosition
from mobile.ports import Fix
from tests.mobile.kit import cover, walked

MOST_FIXES = 5_000
MOST_WAKEUPS = 250
"""What the bench and the docs state for the day below."""


class CountedGps(FixedPosition):
    """A receiver that makes a fix a second while it is on, and counts them."""

    def __init__(self, clock: FakeClock) -> None:
        super().__init__(clock)
        self.is_on = False
        self.fixes = 0
        self.stand("40.3105", "-75.6195")

    def start(self) -> None:
        self.is_on = True

    def stop(self) -> None:
        self.is_on = False

    def second(self) -> None:
        self.fixes += self.is_on

    def fix(self) -> Fix:
        assert self.is_on, "a receiver that is off is not asked"
        return super().fix()


class Day:
    def __init__(self) -> None:
        self.clock = FakeClock()
        self.gps = CountedGps(self.clock)
        self.receiver = SparingReceiver(self.gps, self.clock)
        self.receiver.start()

    def passes(self, seconds: int) -> None:
        for _ in range(seconds):
            self.clock.pass_ms(1_000)
            self.gps.second()
            self.receiver.tick()
            self.receiver.fix()

    def makes_an_entry(self, touches: int = 4, apart_s: int = 3) -> None:
        for _ in range(touches):
            self.receiver.touched()
            self.passes(apart_s)
        assert self.receiver.fix().position is not None


@pytest.fixture
def day() -> Day:
    return Day()


def test_a_day_of_two_rounds_thirty_loads_and_twenty_entries_takes_few_fixes(day: Day) -> None:
    """Ten hours with the screen on; always on it would be 36,000."""
    for _ in range(2):
        day.receiver.watched(True)
        day.passes(20 * 60)
        day.receiver.watched(False)
    for _ in range(30):
        day.makes_an_entry(3)
        day.passes(6 * 60)
    for _ in range(20):
        day.makes_an_entry(8)
        day.passes(18 * 60)
    assert day.clock.steady_ms() - 1_000_000 > 9.5 * 3_600_000
    assert 2_400 < day.gps.fixes <= MOST_FIXES


def test_left_alone_it_looks_once_a_minute_and_knows_where_it_is(day: Day) -> None:
    day.passes(AWAKE_MS // 1_000 + 1)
    before = day.gps.fixes
    for _ in range(600):
        day.passes(1)
        assert day.receiver.fix().position is not None
    assert day.gps.fixes - before <= 25


def test_what_was_known_before_the_app_was_put_away_is_forgotten(day: Day) -> None:
    day.passes(5)
    day.receiver.stop()
    assert not day.gps.is_on
    day.gps.lose("searching")
    day.receiver.start()
    assert day.receiver.fix() == Fix(None, "searching")


def test_an_old_fix_is_not_told_for_ever(day: Day) -> None:
    day.passes(2)
    day.gps.lose("searching")
    day.passes(KNOWN_FOR_MS // 1_000 + 1)
    assert day.receiver.fix().position is None


def test_a_day_with_no_network_wakes_the_phone_seldom(tmp_path: Path) -> None:
    """Sixty entries over ten hours, none of them handed in: each save may try, between them the waits grow."""
    phone, _, _, at = walked(tmp_path)
    phone.connectivity.online = False
    sending = Sending(phone)
    wakeups, entries, left_s = 0, 0, 0.0
    for second in range(0, 36_000, 10):
        phone.clock.pass_ms(10_000)
        left_s -= 10
        saves = second % 600 == 0
        if saves:
            cover(phone, at)
            entries += 1
        if saves or left_s <= 0:
            left_s = sending.step()
            wakeups += 1
    assert entries == 60
    assert wakeups <= MOST_WAKEUPS, IDLE_S
