"""A thread that does one step after another, resting as long as the last one said, until it is told to stop."""

from __future__ import annotations

import threading
from collections.abc import Callable


class Background:
    """``step`` answers with the seconds to rest. One step at a time, whoever calls it."""

    def __init__(self, name: str, step: Callable[[], float]) -> None:
        self._name = name
        self._step = step
        self._one_at_a_time = threading.Lock()
        self._woken = threading.Event()
        self._stopped = threading.Event()
        self._thread: threading.Thread | None = None

    @property
    def is_running(self) -> bool:
        return self._thread is not None and self._thread.is_alive()

    def start(self) -> None:
        if self.is_running and not self._stopped.is_set():
            return
        self._stopped = threading.Event()
        self._woken.clear()
        self._thread = threading.Thread(target=self._run, args=(self._stopped,), name=self._name, daemon=True)
        self._thread.start()

    def stop(self, wait_s: float = 0.0) -> None:
        """No further step begins. One under way ends by itself."""
        self._stopped.set()
        self._woken.set()
        if self._thread is not None and wait_s:
            self._thread.join(wait_s)

    def wake(self) -> None:
        """Rest no longer."""
        self._woken.set()

    def step(self) -> float:
        """A step now, here; where one is under way elsewhere: none, and soon again."""
        if not self._one_at_a_time.acquire(blocking=False):
            return 1.0
        try:
            return self._step()
        finally:
            self._one_at_a_time.release()

    def _run(self, stopped: threading.Event) -> None:
        while not stopped.is_set():
            rest_s = self.step()
            self._woken.wait(rest_s)
            self._woken.clear()
