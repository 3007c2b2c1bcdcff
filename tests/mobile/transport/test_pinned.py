"""A server with a certificate of its own: the phone speaks to its key and to no other."""

from __future__ import annotations

import hashlib
import ssl
import subprocess
from collections.abc import Iterator
from http.server import ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pytest

from mobile.replies import Link
from mobile.transport.http_server import HttpServer
from mobile.transport.pinned import key_sha256
from tests.mobile.fake_server import FakeServer
from tests.mobile.transport.test_http import Handler


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A key with two certificates (renewed under the same key), and another key with one."""
    folder = tmp_path_factory.mktemp("keys")
    for name, kind in (("own", "ec"), ("other", "rsa")):
        key = folder / f"{name}.key"
        new = (
            ["-algorithm", "EC", "-pkeyopt", "ec_paramgen_curve:P-256"]
            if kind == "ec"
            else ["-algorithm", "RSA"]
        )
        openssl("genpkey", *new, "-out", str(key))
    for key, name in (("own", "own"), ("own", "renewed"), ("other", "other")):
        openssl(
            "req", "-x509", "-new", "-key", str(folder / f"{key}.key"), "-out", str(folder / f"{name}.pem"),
            "-subj", f"/CN={name}", "-days", "2",
        )  # fmt: skip
    return folder


def openssl(*words: str) -> bytes:
    return subprocess.run(["openssl", *words], check=True, capture_output=True, timeout=60).stdout


def der(folder: Path, name: str) -> bytes:
    return ssl.PEM_cert_to_DER_cert((folder / f"{name}.pem").read_text())


@pytest.mark.parametrize("name", ["own", "renewed", "other"])
def test_the_key_in_a_certificate_is_found_as_openssl_finds_it(made: Path, name: str) -> None:
    public = openssl("x509", "-in", str(made / f"{name}.pem"), "-noout", "-pubkey")
    (made / "key.pub").write_bytes(public)
    spki = openssl("pkey", "-pubin", "-in", str(made / "key.pub"), "-outform", "DER")
    assert key_sha256(der(made, name)) == hashlib.sha256(spki).hexdigest()


@pytest.mark.parametrize("content", [b"", b"\x30", b"\x30\x82", b"\x30\x03\x30\x01\x00", b"\xff" * 40])
def test_bytes_that_are_no_certificate_have_no_key(content: bytes) -> None:
    assert key_sha256(content) == ""


@pytest.fixture(params=["own", "renewed", "other"])
def secure(made: Path, request: pytest.FixtureRequest) -> Iterator[tuple[str, str, list[dict[str, str]]]]:
    seen: list[dict[str, str]] = []
    handler = type("Mine", (Handler,), {"server_of": FakeServer(), "seen": seen})
    http = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    key = "other" if request.param == "other" else "own"
    context.load_cert_chain(made / f"{request.param}.pem", made / f"{key}.key")
    http.socket = context.wrap_socket(http.socket, server_side=True, do_handshake_on_connect=False)
    http.handle_error = lambda *args: None
    thread = Thread(target=http.serve_forever, daemon=True)
    thread.start()
    yield request.param, f"https://127.0.0.1:{http.server_port}", seen
    http.shutdown()
    http.server_close()
    thread.join()


def test_w4_a_pinned_key_is_spoken_to_and_another_never_hears_the_token(
    made: Path, secure: tuple[str, str, list[dict[str, str]]]
) -> None:
    name, address, seen = secure
    pin = key_sha256(der(made, "own"))
    http = HttpServer("0.1.0", (2.0, 2.0))
    reply = http.hello(Link(address, "secret", pin))
    http.close()
    if name == "other":
        assert reply.heard == "no_answer"
        assert seen == []
    else:
        assert reply.value.wire == (1,)
        assert seen[0]["Authorization"] == "Bearer secret"


def test_without_a_pin_a_certificate_of_its_own_is_not_trusted(
    secure: tuple[str, str, list[dict[str, str]]],
) -> None:
    _, address, seen = secure
    http = HttpServer("0.1.0", (2.0, 2.0))
    assert http.hello(Link(address, "secret")).heard == "no_answer"
    http.close()
    assert seen == []
