"""Handing in by itself, in the background: a timer starts it, one at a time, and no tap ever waits for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from mobile.actions.background import Background
from mobile.actions.hand_in import Pass, hand_in
from mobile.actions.roll_token import roll_when_old
from mobile.actions.send_photos import photos_waiting, send_photos
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
    called on the background thread after every change of state. Pictures go on a thread and a connection of
    their own, once a farm's entries are through."""

    def __init__(self, phone: Phone, watch: Callable[[SendingState], None] = lambda state: None) -> None:
        self.phone = phone
        self.state = SendingState()
        self._watch = watch
        self._paces: dict[int, Pace] = {}
        self._due_ms: dict[int, int] = {}
        self._entries = Background("sending", self._passes)
        self._pictures = Background("sending pictures", self._picture_passes)
        self._picture_failures = 0

    def start(self) -> None:
        self._entries.start()
        self._pictures.start()

    def stop(self, wait_s: float = 0.0) -> None:
        """No further pass begins. One under way ends by itself; a kill in the midst of it loses nothing."""
        for one in (self._entries, self._pictures):
            one.stop(wait_s)

    @property
    def is_running(self) -> bool:
        return self._entries.is_running or self._pictures.is_running

    def nudge(self, by_hand: bool = False) -> None:
        """Try now. A save's nudge leaves a farm alone that is backing off; a person's does not."""
        if by_hand:
            self._due_ms.clear()
        self._entries.wake()

    def network_is_back(self) -> None:
        """Forget the failures, and try now (W18)."""
        self._paces = {key: Pace(lines=pace.lines) for key, pace in self._paces.items()}
        self._picture_failures = 0
        self.nudge(by_hand=True)
        self._pictures.wake()

    def step(self) -> float:
        """One pass for each farm that is due; the seconds until the next. Where a pass runs already: none, and
        soon again."""
        return self._entries.step()

    def step_pictures(self) -> float:
        """The same for pictures."""
        return self._pictures.step()

    def _passes(self) -> float:
        now_ms = self.phone.clock.steady_ms()
        farms = [one.id for one in self.phone.book.enrolments()]
        due = [one for one in farms if self._due_ms.get(one, 0) <= now_ms]
        if due:
            self._tell(SendingState(True, self.state.passes))
        troubles = [self._pass(one) for one in due]
        wait = min((self._rest_s(one) for one in farms), default=IDLE_S)
        if due:
            trouble = next((one for one in troubles if one), None)
            self._tell(SendingState(False, self.state.passes, trouble, wait))
        return wait

    def _pass(self, farm: int) -> str | None:
        """One farm's pass; the code of a storage failure, if there was one."""
        try:
            done = hand_in(self.phone, farm, self._paces.get(farm))
            if done.is_whole:
                roll_when_old(self.phone, farm)
        except BookTrouble as error:
            self._rest(farm, wait_s(1, self.phone.chance.share()))
            return error.code
        self._paces[farm] = done.pace
        self.state = SendingState(True, self.state.passes | {farm: done})
        self._rest(farm, 0.0 if done.is_whole else self._wait(done))
        if done.is_whole:
            self._pictures.wake()
        return None

    def _rest(self, farm: int, seconds: float) -> None:
        """A farm whose pass was whole is due at any nudge; one that failed not before its wait is over."""
        if seconds:
            self._due_ms[farm] = self.phone.clock.steady_ms() + round(seconds * 1000)
        else:
            self._due_ms.pop(farm, None)

    def _rest_s(self, farm: int) -> float:
        if farm not in self._due_ms:
            return IDLE_S
        return max(0.0, (self._due_ms[farm] - self.phone.clock.steady_ms()) / 1000)

    def _wait(self, done: Pass) -> float:
        if done.retry_after_s is not None:
            return done.retry_after_s
        return wait_s(max(1, done.pace.failures), self.phone.chance.share())

    def _picture_passes(self) -> float:
        """Pictures of the farms whose entries are through; others wait for them."""
        try:
            for one in self.phone.book.enrolments():
                if one.waiting or one.standing != "live" or not photos_waiting(self.phone, one.id):
                    continue
                done = send_photos(self.phone, one.id)
                if done.heard != "settled":
                    self._picture_failures += 1
                    wait = wait_s(self._picture_failures, self.phone.chance.share())
                    return done.retry_after_s if done.retry_after_s is not None else wait
        except BookTrouble:
            return wait_s(1, self.phone.chance.share())
        self._picture_failures = 0
        return IDLE_S

    def _tell(self, state: SendingState) -> None:
        self.state = state
        self._watch(state)
