"""What lies between a phone and the server: each request meets the next fault of a list, then all is well."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

import requests

from tests.mobile.fake_server import Answer, problem
from tests.simulation.server_end import Crash, ServerEnd

HTML = {"Content-Type": "text/html"}
REFUSALS: dict[str, tuple[int, str]] = {
    "bad_frame": (400, "bad_frame"),
    "too_large": (413, "too_large"),
    "forbidden": (403, "forbidden"),
    "busy": (429, "busy"),
    "server_error": (500, "server_error"),
    "forgotten": (401, "token_unknown"),
    "stopped": (401, "phone_stopped"),
}
FAULTS = (
    *(
        "drop_request",
        "drop_answer",
        "drop_answer",
        "twice",
        "late",
        "late",
        "cut_request",
        "cut_answer",
        "sign_in_page",
    ),
    *("crash_before", "crash_after", "well", "well", "bad_frame", "too_large", "forbidden", "busy"),
    *("server_error", "server_full", "forgotten", "stopped"),
)
LINES_REFUSED = {"bad_frame", "too_large", "server_error", "cut_request"}


@dataclass(frozen=True, slots=True)
class Request:
    method: str
    url: str
    headers: dict[str, str]
    body: bytes

    @property
    def is_push(self) -> bool:
        return self.url.endswith("/entries/")


class Network:
    def __init__(self, server: ServerEnd) -> None:
        self.server = server
        self.faults: list[str] = []
        self.under_way: list[Request] = []
        """Given up by the phone, and not arrived yet."""
        self.pushes: list[Request] = []
        self.met: set[str] = set()

    def deliver(self, request: Request) -> Answer:
        """A request arrives. Where the server ends in it, it starts again and nobody hears an answer."""
        try:
            return self.server.handle(request.method, request.url, request.headers, request.body)
        except Crash:
            self.server.restart()
            raise requests.ConnectionError from None

    def deliver_quietly(self, request: Request) -> None:
        """A request arrives that nobody waits for any more."""
        with suppress(requests.ConnectionError):
            self.deliver(request)

    def between(self, prepared: requests.PreparedRequest, go: Callable[[], Answer]) -> Answer:
        body = prepared.body if isinstance(prepared.body, bytes) else (prepared.body or "").encode()
        request = Request(prepared.method or "", prepared.url or "", dict(prepared.headers), body)
        if request.is_push:
            self.pushes.append(request)
        fault = self.faults.pop(0) if self.faults else "well"
        self.met.add(fault)
        return self._met(fault, request)

    @property
    def refused_lines(self) -> bool:
        """Whether a line may have been refused alone twice, so that it stays on its phone (W6)."""
        return bool(self.met & LINES_REFUSED)

    def _met(self, fault: str, request: Request) -> Answer:
        if fault == "drop_request":
            raise requests.ConnectionError
        if fault == "crash_before":
            raise Crash
        if fault == "late":
            self.under_way.append(request)
            raise requests.ReadTimeout
        if fault == "sign_in_page":
            return Answer(401, b"<html>sign in</html>", HTML)
        if fault in REFUSALS:
            return problem(*REFUSALS[fault])
        if fault == "cut_request":
            half = request.body[: len(request.body) // 2]
            return self.deliver(Request(request.method, request.url, request.headers, half))
        if fault == "server_full":
            self.server.fill(True)
            try:
                return self.deliver(request)
            finally:
                self.server.fill(False)
        return self._answered(fault, request)

    def _answered(self, fault: str, request: Request) -> Answer:
        answer = self.deliver(request)
        if fault == "drop_answer":
            raise requests.ReadTimeout
        if fault == "crash_after":
            raise Crash
        if fault == "twice":
            return self.deliver(request)
        if fault == "cut_answer":
            whole = {"Content-Length": str(len(answer.content))}
            return Answer(answer.status, answer.content[: len(answer.content) // 2], answer.headers | whole)
        return answer
