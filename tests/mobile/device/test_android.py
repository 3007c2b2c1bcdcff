"""Android's parts against stand-ins for plyer and pyjnius; nothing here ran on a phone."""

from __future__ import annotations

import sys
from collections.abc import Callable
from decimal import Decimal
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest

from mobile.device.android import AndroidConnectivity, PlyerBuzz, PlyerGps, mended_gps, told
from mobile.device.fake import FakeClock


class Facade:
    """plyer's gps facade."""

    def __init__(self, missing: bool = False) -> None:
        self.missing = missing
        self.started: dict[str, object] = {}
        self.on_location: Callable[..., None] | None = None

    def configure(self, on_location: Callable[..., None], on_status: Callable[..., None]) -> None:
        if self.missing:
            raise NotImplementedError
        self.on_location = on_location

    def start(self, **how: object) -> None:
        self.started = how

    def stop(self) -> None:
        self.started = {}


def location(**over: object) -> dict[str, object]:
    return {
        "lat": 39.7,
        "lon": -75.1,
        "accuracy": 4.2,
        "speed": 0.0,
        "bearing": 0.0,
        "provider": "gps",
    } | over


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


@pytest.fixture
def gps(clock: FakeClock) -> PlyerGps:
    made = PlyerGps(Facade(), clock)
    made.start()
    return made


def test_androids_accuracy_is_a_68_percent_radius_as_it_stands(gps: PlyerGps) -> None:
    assert gps.fix().why == "searching"
    gps.gps.on_location(**location(time=1_778_585_400_000))
    position = gps.fix().position
    assert (position.r68_m, position.source) == (Decimal("4.20"), "gps")
    assert position.fixed_at.text == "2026-05-12T11:30:00.000Z"


@pytest.mark.parametrize("accuracy", [None, 0.0])
def test_a_location_without_accuracy_has_none(gps: PlyerGps, accuracy: float | None) -> None:
    gps.gps.on_location(**location(accuracy=accuracy))
    assert gps.fix().position.r68_m is None


def test_a_coarse_network_fix_does_not_push_out_a_fresh_satellite_one(
    gps: PlyerGps, clock: FakeClock
) -> None:
    gps.gps.on_location(**location())
    gps.gps.on_location(**location(lat=39.9, accuracy=800.0, provider="network"))
    assert gps.fix().position.lat == Decimal("39.7000000")
    clock.pass_ms(5_001)
    gps.gps.on_location(**location(lat=39.9, accuracy=800.0, provider="network"))
    assert (gps.fix().position.lat, gps.fix().position.source) == (Decimal("39.9000000"), "network")


def test_a_phone_without_a_receiver_and_a_person_who_does_not_allow_it_are_told_apart(
    clock: FakeClock,
) -> None:
    none = PlyerGps(Facade(missing=True), clock)
    none.start()
    assert none.fix().why == "no_receiver"
    refused = PlyerGps(Facade(), clock, ask=lambda answered: answered(False))
    refused.start()
    assert refused.fix().why == "not_allowed"
    allowed = PlyerGps(Facade(), clock, ask=lambda answered: answered(True))
    allowed.start()
    assert (allowed.fix().why, allowed.gps.started["minTime"]) == ("searching", 1_000)


def test_a_fix_grows_too_old(gps: PlyerGps, clock: FakeClock) -> None:
    gps.gps.on_location(**location())
    clock.pass_ms(15_001)
    assert gps.fix().why == "too_old"


class JavaLocation:
    def __init__(self, **facts: Any) -> None:
        self._facts = facts

    def __getattr__(self, name: str) -> Callable[[], Any]:
        return lambda: self._facts[name]


def java_location(accuracy: float | None = 4.5) -> JavaLocation:
    return JavaLocation(
        getLatitude=39.7,
        getLongitude=-75.1,
        hasSpeed=True,
        getSpeed=1.1,
        getBearing=84.0,
        hasAccuracy=accuracy is not None,
        getAccuracy=accuracy or 0.0,
        getProvider="gps",
        getTime=1_778_585_400_000,
    )


def test_a_java_location_is_told_with_provider_and_time() -> None:
    facts = told(java_location())
    assert (facts["provider"], facts["time"], facts["accuracy"]) == ("gps", 1_778_585_400_000, 4.5)
    assert told(java_location(None))["accuracy"] is None


def test_the_mended_listener_takes_one_location_and_a_list_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    signatures: list[tuple[str, str | None]] = []

    def java_method(signature: str, name: str | None = None) -> Callable[[Any], Any]:
        signatures.append((signature, name))
        return lambda method: method

    class PlainListener:
        def __init__(self, root: object) -> None:
            self.root = root

    android_gps = ModuleType("plyer.platforms.android.gps")
    android_gps._LocationListener = PlainListener
    android = ModuleType("plyer.platforms.android")
    android.gps = android_gps
    monkeypatch.setitem(sys.modules, "jnius", SimpleNamespace(java_method=java_method))
    monkeypatch.setitem(sys.modules, "plyer.platforms.android", android)
    monkeypatch.setitem(sys.modules, "plyer.platforms.android.gps", android_gps)
    mended_gps()
    heard: list[dict[str, Any]] = []
    listener = android_gps._LocationListener(SimpleNamespace(on_location=lambda **said: heard.append(said)))
    listener.onLocationChanged(java_location())
    both = [java_location(), java_location(9.0)]
    listener.onLocationsChanged(SimpleNamespace(size=lambda: 2, get=lambda place: both[place]))
    assert [one["accuracy"] for one in heard] == [4.5, 4.5, 9.0]
    assert ("(Ljava/util/List;)V", "onLocationChanged") in signatures


def test_a_phone_that_can_not_buzz_goes_on() -> None:
    def vibrate(seconds: float) -> None:
        raise NotImplementedError

    PlyerBuzz(SimpleNamespace(vibrate=vibrate)).buzz()
    buzzed: list[float] = []
    PlyerBuzz(SimpleNamespace(vibrate=buzzed.append)).buzz(0.2)
    assert buzzed == [0.2]


def test_only_a_phone_without_any_network_is_offline() -> None:
    assert not AndroidConnectivity(SimpleNamespace(getActiveNetwork=lambda: None)).is_online()
    assert AndroidConnectivity(SimpleNamespace(getActiveNetwork=object)).is_online()
