"""A proxy with HTTPS on the same machine in front of the server: whose word on addresses and schemes is taken."""

from __future__ import annotations

import http.client
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.server.serving import ROOT, environment

HOST = "farm.example"
FIRST, SECOND = "192.0.2.1", "192.0.2.2"
"""Two callers as the proxy names them; the addresses are set aside for documents by RFC 5737."""


@pytest.fixture(scope="module")
def at(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, int]]:
    data: Path = tmp_path_factory.mktemp("proxied")
    server = subprocess.Popen(
        [sys.executable, "-m", "server", "serve", "--port", "0", "--data", str(data)],
        cwd=ROOT,
        env=environment() | {"GOODGROUND_TLS": "1", "GOODGROUND_HOSTS": HOST},
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert server.stdout is not None
        told = urlsplit(server.stdout.readline().strip())
        assert told.hostname is not None
        assert told.port is not None
        yield told.hostname, told.port
    finally:
        server.terminate()
        server.wait(timeout=30)
        if server.stdout is not None:
            server.stdout.close()


def asked(
    at: tuple[str, int], method: str, path: str, body: bytes | None = None, *, caller: str = FIRST
) -> http.client.HTTPResponse:
    connection = http.client.HTTPConnection(*at, timeout=30)
    headers = {"Host": HOST, "X-Forwarded-Proto": "https", "X-Forwarded-For": caller}
    connection.request(method, path, body, headers | {"Content-Type": "application/json"})
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return answer


def test_a_page_that_the_proxy_fetched_by_https_is_told_to_stay_with_https(at: tuple[str, int]) -> None:
    answer = asked(at, "GET", "/sign-in/")
    assert answer.status == 200
    assert "max-age" in (answer.getheader("Strict-Transport-Security") or "")
    assert "Secure" in (answer.getheader("Set-Cookie") or "")


def test_W4_wrong_codes_are_counted_by_the_callers_address_and_not_by_the_proxys(at: tuple[str, int]) -> None:
    tree = {"code": "AAAAAAAAAA", "nonce": "nonce-of-it", "label": "phone", "platform": "linux", "app": "0"}
    body = json.dumps(tree).encode()
    tried = [asked(at, "POST", "/api/v1/enrol/", body, caller=FIRST).status for _ in range(6)]
    assert tried[-1] == 429
    assert asked(at, "POST", "/api/v1/enrol/", body, caller=SECOND).status == tried[0] != 429
