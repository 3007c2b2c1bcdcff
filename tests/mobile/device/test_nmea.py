"""A receiver's sentences, by their meaning."""

from __future__ import annotations

import math
import os
from datetime import timedelta
from decimal import Decimal
from functools import reduce
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mobile.device.accuracy import UERE_M, r68_from_axes, r68_from_hdop, r68_from_r95
from mobile.device.fake import FakeClock
from mobile.device.nmea import SILENT_AFTER_MS, TOO_OLD_MS, Ear
from mobile.device.nmea_file import NmeaReplay, NmeaStream
from shared.reckoning.land import radius95


def sentence(text: str) -> str:
    """A sentence with its checksum, as NMEA 0183 has it: the exclusive or of what stands between $ and *."""
    return f"${text}*{reduce(lambda sum, char: sum ^ ord(char), text, 0):02X}"


def gga(time: str = "113000.00", lat: str = "3942.0741", hdop: str = "1.2", quality: int = 1) -> str:
    return sentence(f"GPGGA,{time},{lat},N,07506.0540,W,{quality},08,{hdop},31.0,M,-33.0,M,,")


def rmc(time: str = "113000.00", status: str = "A", speed: str = "2.4", course: str = "84.4") -> str:
    return sentence(f"GPRMC,{time},{status},3942.0741,N,07506.0540,W,{speed},{course},120526,,,A")


def gst(time: str = "113000.00", lat: str = "1.7", lon: str = "1.3") -> str:
    return sentence(f"GPGST,{time},1.8,,,,{lat},{lon},2.2")


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


@pytest.fixture
def ear(clock: FakeClock) -> Ear:
    return Ear(clock)


def heard(ear: Ear, *lines: str) -> Ear:
    for line in lines:
        ear.hear(line + "\r\n")
    return ear


def test_a_fix_is_where_when_and_how_well_known(ear: Ear) -> None:
    fix = heard(ear, rmc(), gga(), gst()).fix()
    assert (fix.position.lat, fix.position.lon) == (Decimal("39.7012350"), Decimal("-75.1009000"))
    assert fix.position.fixed_at.text == "2026-05-12T11:30:00.000Z"
    assert (fix.position.source, fix.why, fix.course_deg) == ("nmea", None, 84.4)
    assert fix.position.r68_m == r68_from_axes(1.7, 1.3)


def test_published_sentences_are_read_as_their_makers_say(ear: Ear) -> None:
    """Examples in Trimble's NMEA-0183 pages for GGA and GST."""
    said = "$GPGST,172814.0,0.006,0.023,0.020,273.6,0.023,0.020,0.031*6A"
    fix = heard(ear, gga("172814.00"), said).fix()
    assert fix.position.r68_m == max(Decimal("0.1"), r68_from_axes(0.023, 0.020))
    assert ear.dropped == 0


def test_the_68_percent_radius_of_known_deviations_holds_68_of_100_fixes() -> None:
    """Rayleigh: 1 - exp(-r2 / 2 s2) = 0.68; and 95 by the shared factor."""
    r68 = float(r68_from_axes(100.0, 100.0))
    assert 1 - math.exp(-(r68**2) / (2 * 100.0**2)) == pytest.approx(0.68, abs=1e-4)
    assert 1 - math.exp(-(radius95(r68).r95_m ** 2) / (2 * 100.0**2)) == pytest.approx(0.95, abs=1e-4)


def test_a_long_ellipse_is_never_made_too_small() -> None:
    assert r68_from_axes(0.1, 5.0) == r68_from_axes(5.0, 5.0)


def test_without_deviations_the_dilution_stands_in_with_a_stated_range_error(ear: Ear) -> None:
    fix = heard(ear, gga(hdop="1.2")).fix()
    assert fix.position.r68_m == r68_from_hdop(1.2)
    drms = UERE_M * 1.2
    assert float(r68_from_hdop(1.2)) == pytest.approx(drms * math.sqrt(-math.log(0.32)), abs=0.01)


def test_deviations_of_another_second_do_not_count(ear: Ear) -> None:
    fix = heard(ear, gst("112959.00"), gga("113000.00", hdop="2.0")).fix()
    assert fix.position.r68_m == r68_from_hdop(2.0)


def test_a_95_percent_radius_becomes_the_68_percent_one_and_back() -> None:
    assert radius95(float(r68_from_r95(8.0))).r95_m == pytest.approx(8.0, abs=0.01)


def test_without_any_word_on_accuracy_none_is_made_up(ear: Ear) -> None:
    assert heard(ear, gga(hdop="")).fix().position.r68_m is None


@pytest.mark.parametrize(
    "line",
    [
        gga()[:-2] + "00",
        gga().replace("3942.0741", "3943.0741"),
        gga().split("*")[0],
        "garbage",
        "$GPGGA*56",
        sentence("GPGGA,,,,,,0,,,,,,,,"),
        sentence("GPGGA,113000,9942.0,N,07506.0,W,1,08,1.2,31.0,M,-33.0,M,,"),
        "\x00\xff$$$***",
        "",
    ],
)
def test_a_sentence_with_a_wrong_checksum_or_an_impossible_place_never_makes_a_fix(
    ear: Ear, line: str
) -> None:
    assert heard(ear, line).fix().position is None
    assert heard(ear, gga()).fix().position is not None


@given(
    st.lists(
        st.one_of(st.text(max_size=90), st.sampled_from([gga(), rmc(), gst(), rmc(status="V")])), max_size=30
    )
)
def test_no_line_whatever_breaks_the_ear(lines: list[str]) -> None:
    ear = heard(Ear(FakeClock()), *lines)
    fix = ear.fix()
    assert (fix.position is None) == (fix.why is not None)


@pytest.mark.parametrize(
    "lost",
    [
        gga(quality=0),
        rmc(status="V"),
        sentence("GPGSA,A,1,,,,,,,,,,,,,,,"),
    ],
)
def test_a_receiver_that_lost_its_fix_is_searching(ear: Ear, lost: str) -> None:
    assert heard(ear, rmc(), gga(), lost).fix().why == "searching"
    assert heard(ear, gga("113005.00")).fix().position is not None


def test_a_fix_grows_old_and_a_receiver_silent(ear: Ear, clock: FakeClock) -> None:
    heard(ear, gga())
    clock.pass_ms(SILENT_AFTER_MS)
    assert ear.fix().age_ms == SILENT_AFTER_MS
    clock.pass_ms(1)
    assert ear.fix().why == "silent"
    clock.pass_ms(TOO_OLD_MS)
    ear.hear(sentence("GPGSV,1,1,00"))
    assert ear.fix().why == "too_old"


def test_the_wall_clock_plays_no_part_in_how_old_a_fix_is(ear: Ear, clock: FakeClock) -> None:
    heard(ear, gga())
    clock.jump(timedelta(days=9000))
    assert ear.fix().age_ms == 0


def test_standing_still_has_no_course(ear: Ear) -> None:
    assert heard(ear, rmc(speed="0.3")).fix().course_deg is None


def test_south_and_west_are_negative(ear: Ear) -> None:
    fix = heard(ear, sentence("GNGGA,113000.00,1929.0450,S,02410.5060,E,1,04,2.6,100.0,M,-33.9,M,,")).fix()
    assert (fix.position.lat, fix.position.lon) == (Decimal("-19.4840833"), Decimal("24.1751000"))


def track(seconds: int, step: int = 1) -> list[str]:
    out = []
    for second in range(0, seconds, step):
        time = f"11{30 + second // 60:02d}{second % 60:02d}.00"
        out += [rmc(time), gga(time, f"3942.{second:04d}"), gst(time)]
    return out


def test_a_track_is_played_at_the_pace_of_its_own_times(tmp_path: Path, clock: FakeClock) -> None:
    file = tmp_path / "walk.nmea"
    file.write_text("\r\n".join(track(90)))
    receiver = NmeaReplay(file, clock)
    receiver.start()
    assert receiver.fix().position.fixed_at.text.startswith("2026-05-12T11:30:00")
    clock.pass_ms(61_500)
    assert receiver.fix().position.fixed_at.text.startswith("2026-05-12T11:31:01")
    assert receiver.fix().position.r68_m == r68_from_axes(1.7, 1.3)


def test_a_track_can_be_played_faster(tmp_path: Path, clock: FakeClock) -> None:
    file = tmp_path / "walk.nmea"
    file.write_text("\n".join(track(90)))
    receiver = NmeaReplay(file, clock, speed=10.0)
    receiver.start()
    clock.pass_ms(6_000)
    assert receiver.fix().position.fixed_at.text.startswith("2026-05-12T11:31:00")


@pytest.mark.parametrize(
    ("at_end", "why", "at"),
    [("stand", None, "11:30:04"), ("silent", "silent", None), ("again", None, "11:30:0")],
)
def test_at_its_end_a_track_stands_still_falls_silent_or_begins_again(
    tmp_path: Path, clock: FakeClock, at_end: str, why: str | None, at: str | None
) -> None:
    file = tmp_path / "walk.nmea"
    file.write_text("\n".join(track(5)))
    receiver = NmeaReplay(file, clock, at_end=at_end)
    for _ in range(40):
        fix = receiver.fix()
        clock.pass_ms(1_000)
    assert fix.why == why
    assert at is None or at in fix.position.fixed_at.text


def test_a_track_over_midnight_goes_on(tmp_path: Path, clock: FakeClock) -> None:
    file = tmp_path / "walk.nmea"
    file.write_text("\n".join([gga("235959.00"), gga("000001.00", "3942.5000")]))
    receiver = NmeaReplay(file, clock)
    receiver.fix()
    clock.pass_ms(1_000)
    assert receiver.fix().position.lat == Decimal("39.7012350")
    clock.pass_ms(1_000)
    assert receiver.fix().position.lat == Decimal("39.7083333")


def test_a_track_that_is_not_there_is_no_receiver(tmp_path: Path, clock: FakeClock) -> None:
    assert NmeaReplay(tmp_path / "none.nmea", clock).fix().why == "no_receiver"
    assert NmeaStream(tmp_path / "none.nmea", clock).fix().why == "no_receiver"


def test_a_growing_file_is_heard_as_it_grows_and_half_a_line_waits_for_its_rest(
    tmp_path: Path, clock: FakeClock
) -> None:
    file = tmp_path / "live.nmea"
    file.write_text("")
    receiver = NmeaStream(file, clock)
    assert receiver.fix().why == "silent"
    first, second = gga("113000.00") + "\r\n", gga("113001.00", "3942.5000") + "\r\n"
    with file.open("a") as out:
        out.write(first + second[:20])
        out.flush()
        assert receiver.fix().position.lat == Decimal("39.7012350")
        out.write(second[20:])
        out.flush()
        assert receiver.fix().position.lat == Decimal("39.7083333")
    receiver.stop()


def test_a_fifo_never_blocks_and_gives_the_newest_fix(tmp_path: Path, clock: FakeClock) -> None:
    fifo = tmp_path / "receiver"
    os.mkfifo(fifo)
    receiver = NmeaStream(fifo, clock)
    assert receiver.fix().why == "silent"
    writing = os.open(fifo, os.O_WRONLY)
    os.write(writing, "\r\n".join([*track(5), ""]).encode())
    assert receiver.fix().position.fixed_at.text.startswith("2026-05-12T11:30:04")
    os.close(writing)
    assert receiver.fix().position is not None
    receiver.stop()
