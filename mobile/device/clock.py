"""The phone's clocks: the wall clock as the person sees it, and one that never jumps."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID, uuid4

BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


class SystemClock:
    """``boot`` is the system's own where it can be read; else one of this process, with a clock that counts from
    no earlier. On Linux and Android the steady clock goes on while the phone sleeps."""

    def __init__(self, boot_file: Path = BOOT_ID) -> None:
        try:
            self.boot = UUID(boot_file.read_text("ascii").strip())
        except (OSError, ValueError):
            self.boot = uuid4()
        self._which = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)

    def now(self) -> datetime:
        return datetime.now(UTC).astimezone()

    def steady_ms(self) -> int:
        return time.clock_gettime_ns(self._which) // 1_000_000
