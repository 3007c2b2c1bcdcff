"""The sockets: waitress where it speaks plain HTTP, cheroot where it speaks HTTPS itself."""

from __future__ import annotations

import argparse
import signal
from types import FrameType
from typing import Any

import waitress
from cheroot.ssl.builtin import BuiltinSSLAdapter
from cheroot.wsgi import Server
from django.conf import settings

from server.config.tls import Shown

MOST_REQUEST_BYTES = 256 * 1024 * 1024
"""A carry file with its photos; a push may be far less and says so itself."""
BY_PROXY = {
    "trusted_proxy": "127.0.0.1",
    "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-proto"},
    "clear_untrusted_proxy_headers": True,
}
"""Whose word on a caller's address and scheme is taken: a proxy's on this machine, and nobody else's."""


def serve_plain(application: Any, told: argparse.Namespace) -> None:
    server = waitress.create_server(
        application,
        host=told.host,
        port=told.port,
        threads=told.threads,
        max_request_body_size=MOST_REQUEST_BYTES,
        ident=None,
        **(BY_PROXY if settings.BEHIND_TLS else {}),
    )
    print(f"http://{told.host}:{server.effective_port}/", flush=True)
    server.run()


def serve_secure(application: Any, told: argparse.Namespace, shown: Shown) -> None:
    if told.host not in settings.ALLOWED_HOSTS:
        settings.ALLOWED_HOSTS.append(told.host)
    server = Server(
        (told.host, told.port),
        application,
        numthreads=told.threads,
        server_name="goodground",
        request_queue_size=64,
        timeout=60,
    )
    server.max_request_body_size = MOST_REQUEST_BYTES
    server.ssl_adapter = BuiltinSSLAdapter(str(shown.certificate), str(shown.key))
    signal.signal(signal.SIGTERM, _ended)
    server.prepare()
    print(f"https://{told.host}:{server.bind_addr[1]}/", flush=True)
    try:
        server.serve()
    finally:
        server.stop()


def _ended(number: int, frame: FrameType | None) -> None:
    raise SystemExit(0)
