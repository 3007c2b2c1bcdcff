"""Android's parts, through plyer where it can be relied on. Nothing in this file has run on a phone yet: it is
written from the sources of plyer 2.1.0 and pyjnius, and tested against stand-ins for both.

Worked round: plyer 2.1.0 listens to every provider at once and tells neither which it was nor when; its listener
lacks ``onLocationChanged(List)``, which Android 12 and later call, and fails there with NotImplementedError; its
camera hands out a ``file://`` address, which Android 7 and later forbid, so it is not used.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from mobile.device.accuracy import metres
from mobile.device.nmea import SILENT_AFTER_MS, TOO_OLD_MS
from mobile.ports import Clock, Fix
from shared.wire.scalars import moment, written_moment
from shared.words.place import Position, PositionSource

EVERY_MS = 1_000
WALKING_M_S = 0.5
BETTER_FOR_MS = 5_000
"""So long a satellite fix is not replaced by a coarser one of the network."""


@dataclass(frozen=True, slots=True)
class Heard:
    """One location as Android gave it, and when by the steady clock. ``accuracy_m`` is a 68 % radius."""

    lat: float
    lon: float
    accuracy_m: float | None
    provider: str
    fixed_at_ms: int | None
    course_deg: float | None
    at_ms: int


class PlyerGps:
    """Positions of Android's location service. ``gps`` is plyer's facade; ``ask`` asks the person for permission
    and answers by calling back."""

    def __init__(
        self, gps: Any, clock: Clock, ask: Callable[[Callable[[bool], None]], None] | None = None
    ) -> None:
        self.gps = gps
        self.clock = clock
        self._ask = ask
        self._allowed: bool | None = None if ask else True
        self._running = False
        self._works = True
        self._best: Heard | None = None

    def start(self) -> None:
        if self._running or not self._works:
            return
        if self._allowed is None and self._ask is not None:
            self._ask(self._answered)
            return
        if not self._allowed:
            return
        try:
            self.gps.configure(on_location=self.on_location, on_status=lambda *status: None)
            self.gps.start(minTime=EVERY_MS, minDistance=0)
        except (NotImplementedError, ModuleNotFoundError, ImportError):
            self._works = False
            return
        self._running = True

    def _answered(self, allowed: bool) -> None:
        self._allowed = allowed
        if allowed:
            self.start()

    def stop(self) -> None:
        if self._running:
            self.gps.stop()
            self._running = False

    def on_location(self, **said: Any) -> None:
        """What plyer, or the listener below, calls; on Android's main thread."""
        accuracy = said.get("accuracy")
        new = Heard(
            lat=float(said["lat"]),
            lon=float(said["lon"]),
            accuracy_m=float(accuracy) if accuracy else None,
            provider=said.get("provider", "gps"),
            fixed_at_ms=said.get("time"),
            course_deg=float(said["bearing"]) if said.get("speed", 0.0) >= WALKING_M_S else None,
            at_ms=self.clock.steady_ms(),
        )
        if self._is_better(new):
            self._best = new

    def _is_better(self, new: Heard) -> bool:
        old = self._best
        if old is None or new.at_ms - old.at_ms > BETTER_FOR_MS or new.provider == old.provider:
            return True
        return (new.accuracy_m or float("inf")) <= (old.accuracy_m or float("inf"))

    def fix(self) -> Fix:
        if not self._works:
            return Fix(None, "no_receiver")
        if self._allowed is False:
            return Fix(None, "not_allowed")
        best = self._best
        if best is None:
            return Fix(None, "searching")
        age_ms = self.clock.steady_ms() - best.at_ms
        if age_ms > TOO_OLD_MS:
            return Fix(None, "silent" if age_ms > SILENT_AFTER_MS + TOO_OLD_MS else "too_old", age_ms=age_ms)
        return Fix(_position(best), None, best.course_deg, age_ms)


def _position(heard: Heard) -> Position:
    source: PositionSource = "network" if heard.provider == "network" else "gps"
    at = None
    if heard.fixed_at_ms:
        at = moment(written_moment(datetime.fromtimestamp(heard.fixed_at_ms / 1000, UTC)), "at")
    radius = None if heard.accuracy_m is None else metres(heard.accuracy_m)
    return Position(Decimal(f"{heard.lat:.7f}"), Decimal(f"{heard.lon:.7f}"), radius, at, source)


def mended_gps() -> Any:
    """plyer's facade with a listener that Android 12 and later can call, and that tells provider and time.
    Only on Android."""
    from jnius import java_method
    from plyer import gps
    from plyer.platforms.android import gps as android_gps

    class Listener(android_gps._LocationListener):
        @java_method("(Landroid/location/Location;)V")
        def onLocationChanged(self, location: Any) -> None:
            self.root.on_location(**told(location))

        @java_method("(Ljava/util/List;)V", name="onLocationChanged")
        def onLocationsChanged(self, locations: Any) -> None:
            for place in range(locations.size()):
                self.root.on_location(**told(locations.get(place)))

        @java_method("(I)V")
        def onFlushComplete(self, request: int) -> None:
            pass

    android_gps._LocationListener = Listener
    return gps


def told(location: Any) -> dict[str, Any]:
    """A location of Android's as words. One without an accuracy says 0 there: then none is known."""
    return {
        "lat": location.getLatitude(),
        "lon": location.getLongitude(),
        "speed": location.getSpeed() if location.hasSpeed() else 0.0,
        "bearing": location.getBearing(),
        "accuracy": location.getAccuracy() if location.hasAccuracy() else None,
        "provider": location.getProvider(),
        "time": location.getTime(),
    }


class PlyerBuzz:
    def __init__(self, vibrator: Any) -> None:
        self.vibrator = vibrator

    def buzz(self, seconds: float = 0.08) -> None:
        try:
            self.vibrator.vibrate(seconds)
        except (NotImplementedError, ModuleNotFoundError, ImportError):
            return


class AndroidConnectivity:
    """Android's own word on whether there is a network. Only on Android."""

    def __init__(self, manager: Any) -> None:
        self.manager = manager

    def is_online(self) -> bool:
        return self.manager.getActiveNetwork() is not None

    def is_metered(self) -> bool:
        return bool(self.manager.isActiveNetworkMetered())


def ask_for_location(answered: Callable[[bool], None]) -> None:
    """Ask the person for the fine location. Only on Android."""
    from android.permissions import Permission, request_permissions

    request_permissions(
        [Permission.ACCESS_FINE_LOCATION, Permission.ACCESS_COARSE_LOCATION],
        lambda names, granted: answered(any(granted)),
    )


def private_folder() -> Path:
    """The app's own storage, which no other app reads and no backup takes. Only on Android."""
    from android.storage import app_storage_path

    return Path(app_storage_path())
