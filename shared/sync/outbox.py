"""What a phone does with what it hears, as a table. Nothing that it hears ever removes an entry (W5)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

MOST_LINES = 500
MOST_BYTES = 1_048_576
LONGEST_WAIT_S = 900.0
FIRST_WAIT_S = 2.0
SLOW_LINES = ("too_large", "bad_frame", "server_error", "no_answer")

Heard = Literal[
    "settled",  # 200
    "bad_frame",  # 400
    "too_large",  # 413
    "server_error",  # 5xx
    "no_answer",  # time-out, cut short, no network
    "busy",  # 429 or 503 with Retry-After
    "gap",  # 409 gap
    "fork",  # 409 fork
    "diverged",  # 409 diverged (a pull)
    "start_over",  # 410 (a pull)
    "phone_stopped",  # 401 phone_stopped
    "token_unknown",  # 401 token_unknown
    "forbidden",  # 403
]
"""What an answer comes down to."""

Move = Literal[
    "settle",  # write the outcomes down and go on
    "wait",  # the same again, later
    "stay",  # send this one line as staying on the phone
    "put_back",  # send again from the line that the server expects
    "enrol_again",  # a copied phone, or a server that is ahead: a new enrolment, everything numbered anew
    "pull_anew",  # drop the pulled copy, never the book or the outbox
    "seal",  # stopped: show nothing more, keep everything, say to bring it in
    "ask_slip",  # a server that forgot this phone: keep everything, ask for a joining slip
]

TABLE: dict[Heard, Move] = {
    "settled": "settle",
    "bad_frame": "wait",
    "too_large": "wait",
    "server_error": "wait",
    "no_answer": "wait",
    "busy": "wait",
    "gap": "put_back",
    "fork": "enrol_again",
    "diverged": "pull_anew",
    "start_over": "pull_anew",
    "phone_stopped": "seal",
    "token_unknown": "ask_slip",
    "forbidden": "wait",
}

ALONE_LIMIT = 2


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast a phone goes: lines a batch, failures in a row (``k``), refusals of a batch of one line."""

    lines: int = MOST_LINES
    failures: int = 0
    alone: int = 0
    staying: bool = False
    """The next push sends its one line as staying on the phone."""


def after(pace: Pace, heard: Heard, sent_lines: int) -> tuple[Pace, Move]:
    """The pace and the move after an answer to a push of ``sent_lines`` lines (W6, W18).

    A batch is halved on 400, 413, 500 and time-out, down to one line. A line that was refused alone twice
    with 400, 413 or 500 is sent once as staying; if that fails too, the server is at fault and not the line,
    and the line itself is tried again.
    """
    move = TABLE[heard]
    if heard == "settled":
        lines = min(MOST_LINES, pace.lines * 2) if not pace.staying else MOST_LINES
        return Pace(lines=lines), move
    failed = replace(pace, failures=pace.failures + 1, staying=False)
    if heard in SLOW_LINES:
        if sent_lines > 1:
            return replace(failed, lines=max(1, sent_lines // 2), alone=0), move
        if pace.staying:
            return replace(failed, alone=0), move
        if heard != "no_answer":
            alone = pace.alone + 1
            if alone >= ALONE_LIMIT:
                return replace(failed, lines=1, alone=0, staying=True), "stay"
            return replace(failed, lines=1, alone=alone), move
    return failed, move


def wait_s(failures: int, share: float) -> float:
    """Seconds to wait after ``failures`` in a row: ``share`` (0 to 1, drawn by the caller) of
    min(900, 2 * 2^k), the first failure being k = 0 (W18)."""
    k = max(0, min(failures - 1, 60))
    longest: float = min(LONGEST_WAIT_S, FIRST_WAIT_S * 2.0**k)
    return share * longest
