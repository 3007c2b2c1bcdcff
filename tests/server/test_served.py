"""The server as people run it: its commands, a real socket, many phones at once."""

from __future__ import annotations

import http.client
import json
import socket
import sqlite3
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from shared.sync.chain import NO_HEAD, head_over
from shared.wire import lines
from shared.wire.push import Frame, content_digest, push_bytes
from shared.wire.scalars import moment
from tests.server.ground import entry_tree, raw
from tests.server.serving import command, serving


@dataclass(frozen=True)
class Served:
    """A server that runs for all tests of this file, and the one phone that joined it by a slip."""

    data: Path
    at: tuple[str, int]
    first: Caller


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served_by(tmp_path_factory.mktemp("served")) as one:
        yield one


@contextmanager
def served_by(data: Path, database: str = "") -> Iterator[Served]:
    link = command(data, "new-farm", "Fallow Rise", "--zone", "America/New_York", database=database)
    assert link.startswith("http://127.0.0.1:8000/sign-in/")
    code = command(data, "code", "--farm", "Fallow Rise", database=database)
    assert len(code) == 11
    assert code.strip().isalnum()
    with serving(data, database=database) as at:
        yield Served(data, at, Caller(at).join(code.strip()))


class Caller:
    """A phone over a real connection."""

    def __init__(self, at: tuple[str, int], token: str = "") -> None:
        self.at = at
        self.token = token
        self.kept: list[bytes] = []

    def join(self, code: str) -> Caller:
        tree = {"code": code, "nonce": "nonce-of-it", "label": "phone", "platform": "linux", "app": "0.1.0"}
        return self._joined(self.ask("POST", "enrol/", json.dumps(tree).encode()))

    def again(self, nonce: str) -> Caller:
        """Another enrolment of the same phone, with lines of its own."""
        answer = self.ask("POST", "enrol/again/", json.dumps({"nonce": nonce}).encode())
        return Caller(self.at)._joined(answer)

    def _joined(self, answer: tuple[int, Any, Any]) -> Caller:
        status, told, _ = answer
        assert status == 201, told
        self.id, self.token = UUID(told["phone"]), told["token"]
        self.person = UUID(told["people"][0]["id"])
        return self

    def ask(self, method: str, path: str, body: bytes | None = None, **headers: str) -> tuple[int, Any, Any]:
        connection = http.client.HTTPConnection(*self.at, timeout=60)
        told = {"Authorization": f"Bearer {self.token}"} if self.token else {}
        connection.request(method, f"/api/v1/{path}", body, told | headers)
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        return answer.status, json.loads(content) if content else None, answer.headers

    def write(self) -> None:
        self.kept.append(raw(entry_tree(self.person)))

    def push(self, first: int) -> tuple[int, Any]:
        prev = head_over((lines.sha(one) for one in self.kept[: first - 1]), NO_HEAD)
        sent_at = moment("2026-06-01T12:00:00Z", "sent_at")
        batch = self.kept[first - 1 :]
        body = push_bytes(Frame(self.id, first, prev, len(batch), sent_at, None, None), batch)
        return self.ask("POST", "entries/", body, **{"Content-Digest": content_digest(body)})[:2]


def test_W7_many_phones_push_at_once_and_nothing_is_lost_or_twice(served: Served) -> None:
    phones = [served.first.again(f"nonce-of-{place}") for place in range(6)]
    _, before, _ = phones[0].ask("GET", "changes/?kinds=entries&limit=1000")
    known = len(before["rows"].get("entries", ()))

    def day(phone: Caller) -> list[tuple[int, Any]]:
        heard = []
        for _ in range(10):
            first = len(phone.kept) + 1
            for _ in range(3):
                phone.write()
            heard.append(phone.push(first))
        return heard

    with ThreadPoolExecutor(len(phones)) as threads:
        heard = [one for each in threads.map(day, phones) for one in each]
    assert [status for status, _ in heard] == [200] * 60
    numbers = [line["number"] for _, told in heard for line in told["results"]]
    assert sorted(numbers) == list(range(known + 1, known + 181))
    _, page, _ = phones[0].ask("GET", "changes/?kinds=entries&limit=1000")
    shas = [row["sha"] for row in page["rows"]["entries"]][known:]
    assert sorted(shas) == sorted(lines.sha(one) for phone in phones for one in phone.kept)


def test_W12_nothing_new_takes_under_300_bytes_on_the_wire(served: Served) -> None:
    phone = served.first
    _, page, _ = phone.ask("GET", "changes/")
    asked = (
        f"GET /api/v1/changes/?since={page['next']} HTTP/1.1\r\nHost: localhost\r\n"
        f"Authorization: Bearer {phone.token}\r\nConnection: close\r\n\r\n"
    )
    with socket.create_connection(served.at, timeout=30) as wire:
        wire.sendall(asked.encode())
        heard = b""
        while part := wire.recv(65_536):
            heard += part
    assert heard.startswith(b"HTTP/1.1 304 ")
    assert len(heard) < 300, heard


def test_W6_a_body_that_never_comes_whole_changes_nothing(served: Served) -> None:
    phone = served.first.again("nonce-half")
    phone.write()
    sent_at = moment("2026-06-01T12:00:00Z", "sent_at")
    body = push_bytes(Frame(phone.id, 1, NO_HEAD, 1, sent_at, None, None), phone.kept)
    head = (
        f"POST /api/v1/entries/ HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {phone.token}\r\n"
        f"Content-Digest: {content_digest(body)}\r\nContent-Length: {len(body)}\r\n\r\n"
    )
    with socket.create_connection(served.at, timeout=30) as wire:
        wire.sendall(head.encode() + body[: len(body) // 2])
    status, _, headers = phone.ask("GET", "changes/")
    assert (status, headers["Goodground-Line"]) == (200, f"0 {NO_HEAD[:16]}")
    assert phone.push(1)[0] == 200


def test_the_book_is_kept_with_full_synchronous_commits_in_a_write_ahead_log(served: Served) -> None:
    with sqlite3.connect(served.data / "book.sqlite3") as bare:
        assert bare.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    bare.close()
    assert (served.data / "server.key").stat().st_mode & 0o077 == 0
