"""Handing in by itself, in the background: a timer starts it, one at a time, and no tap ever waits for it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field

from mobile.actions.hand_in import Pass, hand_in
from mobile.actions.roll_token import roll_when_old
from mobile.ports import Phone
from mobile.trouble import BookTrouble
from shared.sync.outbox import Pace, wait_s

IDLE_S = 300.0
"""How often the phone asks with nothing new of its own. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class SendingState:
    """What the screen may say of it: ``working`` now; ``passes`` how each farm's last pass ended; ``trouble`` the
    code of a storage failure; ``next_in_s`` when it tries again."""

    working: bool = False
    passes: dict[int, Pass] = field(default_factory=dict)
    trouble: str | None = None
    next_in_s: float = 0.0


class Sending:
    """``start`` it with the app, ``stop`` it on pause; ``nudge`` after a save or for *Hand in now*. ``watch`` is
    called on the background thread after every change of state."""

    def __init__(self, phone: Phone, watch: Callable[[SendingState], None] = lambda state: None) -> None:
        self.phone = phone
        self.state = SendingState()
        self._watch = watch
        self._paces: dict[int, Pace] = {}
        self._due_ms: dict[int, int] = {}
        self._one_at_a_time = threading.Lock()
        self._woken = threading.Event()
        self._stopped = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        if self._thread is not None and self._thread.is_alive():
            return
        self._stopped.clear()
        self._woken.clear()
        self._thread = threading.Thread(target=self._run, name="sending", daemon=True)
        self._thread.start()

    def stop(self, wait_s: float = 0.0) -> None:
        """No further pass begins. One under way ends by itself; a kill in the midst of it loses nothing."""
        self._stopped.set()
        self._woken.set()
        if self._thread is not None and wait_s:
            self._thread.join(wait_s)

    def nudge(self, by_hand: bool = False) -> None:
        """Try now. A save's nudge leaves a farm alone that is backing off; a person's does not."""
        if by_hand:
            self._due_ms.clear()
        self._woken.set()

    def network_is_back(self) -> None:
        """Forget the failures, and try now (W18)."""
        self._paces = {key: Pace(lines=pace.lines) for key, pace in self._paces.items()}
        self.nudge(by_hand=True)

    def step(self) -> float:
        """One pass for each farm that is due; the seconds until the next. Where a pass runs already: none, and
        soon again."""
        if not self._one_at_a_time.acquire(blocking=False):
            return 1.0
        try:
            return self._passes()
        finally:
            self._one_at_a_time.release()

    def _passes(self) -> float:
        now_ms = self.phone.clock.steady_ms()
        farms = [one.id for one in self.phone.book.enrolments()]
        due = [one for one in farms if self._due_ms.get(one, 0) <= now_ms]
        passes, trouble = dict(self.state.passes), None
        if due:
            self._tell(SendingState(True, passes))
        for one in due:
            try:
                done = hand_in(self.phone, one, self._paces.get(one))
                if done.is_whole:
                    roll_when_old(self.phone, one)
            except BookTrouble as error:
                trouble = error.code
                self._rest(one, wait_s(1, self.phone.chance.share()))
                continue
            self._paces[one] = done.pace
            passes[one] = done
            self._rest(one, 0.0 if done.is_whole else self._wait(done))
        wait = min((self._rest_s(one) for one in farms), default=IDLE_S)
        if due:
            self._tell(SendingState(False, passes, trouble, wait))
        return wait

    def _rest_s(self, farm: int) -> float:
        if farm not in self._due_ms:
            return IDLE_S
        return max(0.0, (self._due_ms[farm] - self.phone.clock.steady_ms()) / 1000)

    def _rest(self, farm: int, seconds: float) -> None:
        """A farm whose pass was whole is due at any nudge; one that failed not before its wait is over."""
        if seconds:
            self._due_ms[farm] = self.phone.clock.steady_ms() + round(seconds * 1000)
        else:
            self._due_ms.pop(farm, None)

    def _wait(self, done: Pass) -> float:
        if done.retry_after_s is not None:
            return done.retry_after_s
        return wait_s(max(1, done.pace.failures), self.phone.chance.share())

    def _run(self) -> None:
        while not self._stopped.is_set():
            wait = self.step()
            self._woken.wait(wait)
            self._woken.clear()

    def _tell(self, state: SendingState) -> None:
        self.state = state
        self._watch(state)
