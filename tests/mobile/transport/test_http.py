"""The transport over real sockets on loopback."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pytest

from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_slip
from mobile.replies import Link
from mobile.transport.http_server import HttpServer, is_allowed
from shared.wire.push import digest_agrees
from tests.mobile.fake_server import FakeServer
from tests.mobile.kit import a_phone, cover


class Handler(BaseHTTPRequestHandler):
    """The fake server over HTTP."""

    protocol_version = "HTTP/1.1"
    server_of: FakeServer
    seen: list[dict[str, str]]

    def _answer(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
        self.seen.append(
            dict(self.headers)
            | {"path": self.path, "digest": str(digest_agrees(self.headers.get("Content-Digest"), body))}
        )
        answer = self.server_of.handle(self.command, self.path, self.headers, body)
        self.send_response(answer.status)
        for name, value in answer.headers.items():
            self.send_header(name, value)
        if answer.status != 304:
            self.send_header("Content-Length", str(len(answer.content)))
        self.end_headers()
        self.wfile.write(answer.content)

    do_GET = do_POST = _answer

    def log_message(self, *args: object) -> None:
        pass


@contextmanager
def served(
    server: FakeServer, handler: type[Handler] = Handler
) -> Iterator[tuple[str, list[dict[str, str]]]]:
    seen: list[dict[str, str]] = []
    mine = type("Mine", (handler,), {"server_of": server, "seen": seen})
    http = ThreadingHTTPServer(("127.0.0.1", 0), mine)
    thread = Thread(target=http.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{http.server_port}", seen
    finally:
        http.shutdown()
        http.server_close()
        thread.join()


@contextmanager
def raw(answer: bytes) -> Iterator[str]:
    """A server that reads a request and says these bytes, then hangs up."""
    listening = socket.create_server(("127.0.0.1", 0))

    def serve() -> None:
        try:
            while True:
                one, _ = listening.accept()
                with one:
                    one.recv(65_536)
                    one.sendall(answer)
        except OSError:
            return

    thread = Thread(target=serve, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        listening.shutdown(socket.SHUT_RDWR)
        listening.close()
        thread.join()


@pytest.fixture
def http() -> Iterator[HttpServer]:
    made = HttpServer("1.2.3", (2.0, 2.0))
    yield made
    made.close()


def test_a_phone_joins_hands_in_and_fetches_over_real_http(tmp_path: Path, http: HttpServer) -> None:
    server = FakeServer()
    farm = server.found()
    phone = replace(a_phone(tmp_path, server), server=http)
    with served(server) as (address, seen):
        at = join(phone, read_slip(server.slip(farm), address)).id
        phone.book.keep_setting(f"person.{at}", str(farm.people[0].id))
        saved = [cover(phone, at).entry.id for _ in range(20)]
        assert hand_in(phone, at).is_whole
        assert server.kept(farm) == saved
        assert hand_in(phone, at).is_whole
    push = next(one for one in seen if one["path"].endswith("entries/"))
    assert push["digest"] == "True"
    assert push["Content-Encoding"] == "gzip"
    assert push["Content-Type"] == "application/x-ndjson"
    assert int(push["Content-Length"]) < 20 * 130 + 400
    assert {(one["Goodground-Wire"], one["Goodground-App"]) for one in seen} == {("1", "1.2.3")}
    assert push["Goodground-Waiting"] == "20"
    assert seen[-1]["If-None-Match"].strip('"') in seen[-1]["path"]


def test_a_port_where_nobody_listens_is_no_answer(http: HttpServer) -> None:
    with socket.create_server(("127.0.0.1", 0)) as one:
        port = one.getsockname()[1]
    assert http.hello(Link(f"http://127.0.0.1:{port}")).heard == "no_answer"


def test_a_server_that_never_answers_is_given_up_after_the_read_time() -> None:
    made = HttpServer("1.2.3", (1.0, 0.2))
    with socket.create_server(("127.0.0.1", 0)) as silent:
        reply = made.hello(Link(f"http://127.0.0.1:{silent.getsockname()[1]}"))
    made.close()
    assert reply.heard == "no_answer"


@pytest.mark.parametrize(
    "answer",
    [
        b"",
        b"SSH-2.0-OpenSSH_9.2\r\n",
        b'HTTP/1.1 200 OK\r\nContent-Length: 900\r\n\r\n{"wire": [1]',
        b'HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nff\r\n{"wire"',
        b"HTTP/1.1 200 OK\r\nContent-Encoding: gzip\r\nContent-Length: 4\r\n\r\nnope",
        b"HTTP/1.1 302 Found\r\nLocation: https://elsewhere.example/\r\nContent-Length: 0\r\n\r\n",
        b"HTTP/1.1 204 No Content\r\n\r\n",
    ],
)
def test_whatever_is_no_whole_answer_is_no_answer(http: HttpServer, answer: bytes) -> None:
    with raw(answer) as address:
        assert http.hello(Link(address)).heard == "no_answer"


@pytest.mark.parametrize(
    ("address", "allowed"),
    [
        ("https://farm.example", True),
        ("http://127.0.0.1:8000", True),
        ("http://localhost", True),
        ("http://[::1]:1", True),
        ("http://farm.example", False),
        ("http://10.0.0.7", False),
        ("http://127.0.0.1.example", False),
        ("ftp://127.0.0.1", False),
        ("", False),
    ],
)
def test_w4d_plain_http_is_spoken_on_loopback_alone(http: HttpServer, address: str, allowed: bool) -> None:
    assert is_allowed(address) is allowed
    if not allowed:
        assert http.hello(Link(address, "secret")).heard == "no_answer"
