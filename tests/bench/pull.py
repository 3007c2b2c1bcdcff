"""A pull with nothing new against a view that does nothing, and how many bytes its answer has."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from tests.bench.laid import a_farm, a_phone, lay
from tests.bench.measure import pair, tell

TIMES = 301


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        lay(Path(folder))
        phone = a_phone(a_farm("Quiet Rise")[0])
        _, cursor = phone.pull_all()
        answer = phone.pull(cursor)
        assert answer.status_code == 304, answer.content
        pull, hello = pair(lambda: phone.pull(cursor), lambda: phone.client.get("/api/v1/hello/"), TIMES)
        tell("pull with nothing new", pull, "a view that does nothing", hello, "1.5 times or less")
        print(f"  bytes of its answer: {_size(answer)}; aim: under 300")


def _size(answer: Any) -> int:
    """Status line, headers and body as they go over the wire, with what the web server itself adds."""
    head = f"HTTP/1.1 {answer.status_code} {answer.reason_phrase}\r\n"
    added = "Date: Wed, 25 Nov 2026 09:00:00 GMT\r\nServer: waitress\r\n"
    told = "".join(f"{name}: {value}\r\n" for name, value in answer.items())
    return len((head + added + told + "\r\n").encode()) + len(answer.content)
