"""gpsd's reports, from a stand-in on loopback that speaks as gpsd does."""

from __future__ import annotations

import json
import socket
from collections.abc import Iterator
from decimal import Decimal

import pytest

from mobile.device.accuracy import r68_from_r95
from mobile.device.fake import FakeClock
from mobile.device.gpsd import RETRY_MS, WATCH, Gpsd

TPV = {
    "class": "TPV",
    "mode": 3,
    "time": "2026-05-12T11:30:00.000Z",
    "lat": 39.7012345,
    "lon": -75.1009,
    "eph": 7.5,
}


class Daemon:
    def __init__(self) -> None:
        self.listening = socket.create_server(("127.0.0.1", 0))
        self.port = self.listening.getsockname()[1]
        self.clock = FakeClock()
        self.receiver = Gpsd(self.clock, port=self.port)
        self.receiver.start()
        self.peer, _ = self.listening.accept()

    def say(self, *reports: object) -> None:
        self.peer.sendall(b"".join(json.dumps(one).encode() + b"\r\n" for one in reports))

    def close(self) -> None:
        self.receiver.stop()
        self.peer.close()
        self.listening.close()


@pytest.fixture
def daemon() -> Iterator[Daemon]:
    made = Daemon()
    yield made
    made.close()


def test_it_asks_gpsd_to_report_and_takes_its_position(daemon: Daemon) -> None:
    assert daemon.peer.recv(200) == WATCH
    assert daemon.receiver.fix().why == "silent"
    daemon.say({"class": "VERSION", "release": "3.22"}, TPV | {"speed": 1.2, "track": 84.5})
    fix = daemon.receiver.fix()
    assert (fix.position.lat, fix.position.lon, fix.position.source) == (
        Decimal("39.7012345"),
        Decimal("-75.1009000"),
        "gpsd",
    )
    assert (fix.course_deg, fix.position.fixed_at.text) == (84.5, "2026-05-12T11:30:00.000Z")


def test_its_error_is_taken_as_a_95_percent_radius(daemon: Daemon) -> None:
    daemon.say(TPV)
    assert daemon.receiver.fix().position.r68_m == r68_from_r95(7.5)
    daemon.say({key: TPV[key] for key in TPV if key != "eph"} | {"epx": 3.0, "epy": 4.0})
    assert daemon.receiver.fix().position.r68_m == r68_from_r95(5.0)
    daemon.say({key: TPV[key] for key in TPV if key != "eph"})
    assert daemon.receiver.fix().position.r68_m is None


def test_a_fix_told_in_several_reports_some_without_a_time_is_one_fix(daemon: Daemon) -> None:
    daemon.say(TPV, {"class": "TPV", "mode": 3, "eph": 7.0}, {key: TPV[key] for key in TPV if key != "time"})
    fix = daemon.receiver.fix()
    assert (fix.position.lat, fix.position.fixed_at) == (Decimal("39.7012345"), None)


@pytest.mark.parametrize(
    "report", [{"class": "TPV", "mode": 1}, {"class": "TPV"}, {"class": "TPV", "mode": 0}]
)
def test_without_a_fix_it_is_searching(daemon: Daemon, report: dict[str, object]) -> None:
    daemon.say(TPV, report)
    assert daemon.receiver.fix().why == "searching"


def test_what_is_no_report_changes_nothing(daemon: Daemon) -> None:
    daemon.say(TPV)
    daemon.peer.sendall(
        b'not json\r\n[1]\r\n{"class":"TPV","mode":3,"lat":"x","lon":1}\r\n'
        b'{"class":"TPV","mode":3,"lat":991,"lon":1}\r\n'
    )
    daemon.say({"class": "SKY"})
    assert daemon.receiver.fix().position.lat == Decimal("39.7012345")


def test_half_a_report_waits_for_its_rest(daemon: Daemon) -> None:
    whole = json.dumps(TPV).encode() + b"\r\n"
    daemon.peer.sendall(whole[:30])
    assert daemon.receiver.fix().position is None
    daemon.peer.sendall(whole[30:])
    assert daemon.receiver.fix().position is not None


def test_a_gpsd_that_goes_away_leaves_the_fix_to_grow_old_and_is_tried_again(daemon: Daemon) -> None:
    daemon.say(TPV)
    daemon.receiver.fix()
    daemon.peer.close()
    assert daemon.receiver.fix().position is not None
    daemon.clock.pass_ms(11_000)
    assert daemon.receiver.fix().why == "silent"
    daemon.peer, _ = daemon.listening.accept()
    daemon.say(TPV)
    assert daemon.receiver.fix().position is not None


def test_without_gpsd_it_is_asked_for_only_now_and_then() -> None:
    with socket.create_server(("127.0.0.1", 0)) as one:
        port = one.getsockname()[1]
    clock = FakeClock()
    receiver = Gpsd(clock, port=port)
    assert receiver.fix().why == "no_receiver"
    listening = socket.create_server(("127.0.0.1", port))
    listening.setblocking(False)
    receiver.fix()
    with pytest.raises(BlockingIOError):
        listening.accept()
    clock.pass_ms(RETRY_MS)
    receiver.fix()
    peer, _ = listening.accept()
    receiver.stop()
    peer.close()
    listening.close()
