"""The walked rounds, read back by another program."""

from __future__ import annotations

import math
import re
from datetime import UTC, datetime, timedelta
from functools import reduce
from itertools import pairwise
from operator import xor

import pynmea2
import pytest

from demo_fixtures import farm, ground, tracks
from demo_fixtures.stands import DUE_TO_MOW
from demo_fixtures.walk import spots
from mobile.device.nmea_file import NmeaReplay

BEGAN = datetime(2026, 11, 24, 23, 59, 30, tzinfo=UTC)
SENTENCE = re.compile(r"\$([^*$]+)\*([0-9A-F]{2})")


@pytest.fixture(scope="module", params=tracks.FILES)
def sentences(request: pytest.FixtureRequest) -> list[str]:
    text = tracks.track(request.param, BEGAN)
    assert text.endswith("\r\n")
    return text.split("\r\n")[:-1]


@pytest.fixture(scope="module")
def walked() -> list[tuple[float, float]]:
    parsed = [pynmea2.parse(one, check=True) for one in tracks.track("round.nmea", BEGAN).split("\r\n")[:-1]]
    return [ground.plan(one.latitude, one.longitude) for one in parsed if one.sentence_type == "GGA"]


def test_every_checksum_is_the_exclusive_or_of_what_stands_between(sentences):
    for one in sentences:
        found = SENTENCE.fullmatch(one)
        assert found, one
        assert int(found[2], 16) == reduce(xor, found[1].encode())
        assert len(one) <= 82, "NMEA 0183 allows 82 characters, the end of line among them"


def test_each_second_has_a_gga_an_rmc_and_a_gst_of_the_same_time(sentences):
    parsed = [pynmea2.parse(one, check=True) for one in sentences]
    assert [one.sentence_type for one in parsed] == ["GGA", "RMC", "GST"] * (len(parsed) // 3)
    times = []
    for gga, rmc, gst in zip(parsed[::3], parsed[1::3], parsed[2::3], strict=True):
        assert gga.timestamp == rmc.timestamp == gst.timestamp
        assert (gga.latitude, gga.longitude) == (rmc.latitude, rmc.longitude)
        assert gga.gps_qual == 1
        times.append(datetime.combine(rmc.datestamp, rmc.timestamp.replace(tzinfo=None), tzinfo=UTC))
    assert times[0] == BEGAN
    assert {(after - before).total_seconds() for before, after in pairwise(times)} == {1.0}
    assert times[-1].date() > BEGAN.date(), "the walk goes on past midnight UTC"


def test_the_round_begins_at_the_gate_and_stands_at_each_of_the_ten_stops(walked):
    assert math.dist(walked[0], farm.GATE) < 6
    at = 0
    for stop in spots(DUE_TO_MOW, tracks.STOPS):
        near = [place for place in range(at, len(walked)) if math.dist(walked[place], stop) < 5]
        assert len(near) >= tracks.STAND_S, "it stands there"
        at = near[0]
    assert math.dist(walked[-1], spots(DUE_TO_MOW, tracks.STOPS)[-1]) < 5


def test_nobody_runs(walked):
    steps = [math.dist(before, after) for before, after in pairwise(walked)]
    assert max(steps) < 3.5


def test_both_files_are_written_into_a_folder_that_was_not_there(tmp_path):
    files = tracks.write(tmp_path / "new", BEGAN)
    assert [file.name for file in files] == list(tracks.FILES)
    assert files[0].read_bytes() == tracks.track("round.nmea", BEGAN).encode()


class Steady:
    """A clock that is moved by hand."""

    ms = 0

    def steady_ms(self) -> int:
        return self.ms


def test_the_phones_own_receiver_plays_the_round_from_the_gate_to_the_last_stop(tmp_path):
    file = tracks.write(tmp_path, BEGAN)[0]
    seconds = file.read_text("ascii").count("GGA")
    clock = Steady()
    receiver = NmeaReplay(file, clock)
    receiver.start()
    heard = []
    for second in range(seconds):
        clock.ms = second * 1000
        fix = receiver.fix()
        assert fix.position is not None, second
        heard.append(ground.plan(float(fix.position.lat), float(fix.position.lon)))
    assert math.dist(heard[0], farm.GATE) < 6
    for stop in spots(DUE_TO_MOW, tracks.STOPS):
        assert min(math.dist(stop, spot) for spot in heard) < 4
    assert float(fix.position.r68_m) == pytest.approx(1.5 * 1.51, abs=0.1)
    assert fix.position.fixed_at.utc == BEGAN + timedelta(seconds=seconds - 1)
