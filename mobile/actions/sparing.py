"""The phone's receiver, on only while its answer is wanted: a satellite receiver that is always on empties a phone by
noon.

It is on for twenty seconds after a touch and for as long as a round or the map is looked at. Left alone it looks once a
minute for a moment, so that whoever picks the phone up finds it knowing about where it is. Every entry is made by
touches, so that each has a fix of its own.
"""

from __future__ import annotations

from mobile.ports import Clock, Fix, Receiver

AWAKE_MS = 20_000
LOOK_EVERY_MS = 60_000
LOOK_MS = 10_000
KNOWN_FOR_MS = 70_000
"""So long the last fix is told while the receiver rests; its own time goes with it."""


class SparingReceiver:
    """A receiver around another one. ``touched`` at every touch, ``watched`` when a screen comes that needs to know all
    the while, ``tick`` once a second."""

    def __init__(self, receiver: Receiver, clock: Clock) -> None:
        self._receiver = receiver
        self._clock = clock
        self._up = False
        self._on = False
        self._watched = False
        self._awake_until_ms = 0
        self._look_at_ms = 0
        self._last: Fix | None = None
        self._last_ms = 0

    def start(self) -> None:
        """The app comes up: whatever was known before is no longer where the phone is."""
        self._up, self._last = True, None
        self.touched()

    def stop(self) -> None:
        self._up = False
        self.tick()

    def touched(self) -> None:
        self._awake_until_ms = self._clock.steady_ms() + AWAKE_MS
        self.tick()

    def watched(self, all_the_while: bool) -> None:
        self._watched = all_the_while
        self.tick()

    def tick(self) -> None:
        """Switch the receiver on or off, as is due now."""
        now = self._clock.steady_ms()
        awake = self._watched or now < self._awake_until_ms
        if awake:
            self._look_at_ms = now + LOOK_EVERY_MS
        looks = self._look_at_ms <= now < self._look_at_ms + LOOK_MS and not self._is_fresh(now)
        if now >= self._look_at_ms + LOOK_MS or (now >= self._look_at_ms and self._is_fresh(now)):
            self._look_at_ms = now + LOOK_EVERY_MS
        self._switch(self._up and (awake or looks))

    def _is_fresh(self, now: int) -> bool:
        return self._last is not None and now - self._last_ms < LOOK_MS

    def _switch(self, on: bool) -> None:
        if on != self._on:
            self._on = on
            (self._receiver.start if on else self._receiver.stop)()

    def fix(self) -> Fix:
        """Of now where the receiver is on; else, or until it has found itself again, the last one."""
        now = self._clock.steady_ms()
        if self._on:
            found = self._receiver.fix()
            if found.position is not None:
                self._last, self._last_ms = found, now - found.age_ms
                return found
            if found.why in ("no_receiver", "not_allowed"):
                return found
        if self._last is not None and now - self._last_ms < KNOWN_FOR_MS:
            return Fix(self._last.position, None, None, now - self._last_ms)
        return Fix(None, "searching" if self._on else "too_old")
