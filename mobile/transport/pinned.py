"""A connection to a server that has a certificate of its own: known by its key, and by nothing else (W4)."""

from __future__ import annotations

import hashlib
import hmac
import ssl
from typing import Any

from requests.adapters import HTTPAdapter
from urllib3.connection import HTTPSConnection
from urllib3.connectionpool import HTTPSConnectionPool
from urllib3.exceptions import SSLError

SEQUENCE, VERSION = 0x30, 0xA0
BEFORE_KEY = 5
"""Serial, signature algorithm, issuer, validity, subject: then the key (RFC 5280, section 4.1)."""


class PinnedAdapter(HTTPAdapter):
    """Speaks only to a server that shows the key with this SHA-256 (hex). No authority is asked, and no name or
    date in the certificate counts: a farm's own may be renewed under the same key."""

    def __init__(self, pin: str) -> None:
        self._pin = pin.replace(":", "").lower()
        super().__init__()

    def init_poolmanager(self, *args: Any, **kwargs: Any) -> None:
        super().init_poolmanager(*args, **kwargs)
        connection = type("Pinned", (PinnedConnection,), {"pin": self._pin})
        pool = type("PinnedPool", (HTTPSConnectionPool,), {"ConnectionCls": connection})
        self.poolmanager.pool_classes_by_scheme = {"https": pool}

    def cert_verify(self, conn: Any, url: str, verify: Any, cert: Any) -> None:
        conn.cert_reqs = "CERT_NONE"
        conn.ca_certs = conn.ca_cert_dir = None

    def build_connection_pool_key_attributes(self, request: Any, verify: Any, cert: Any = None) -> Any:
        host, _ = super().build_connection_pool_key_attributes(request, verify, cert)
        return host, {"cert_reqs": "CERT_NONE", "assert_hostname": False}


class PinnedConnection(HTTPSConnection):
    """Hangs up before a byte of the request is sent where the key is another."""

    pin = ""

    def connect(self) -> None:
        super().connect()
        shown = self.sock.getpeercert(binary_form=True) if isinstance(self.sock, ssl.SSLSocket) else None
        if not shown or not hmac.compare_digest(key_sha256(shown), self.pin):
            self.close()
            raise SSLError("this server has another key than the joining slip says")
        self.is_verified = True


def key_sha256(certificate: bytes) -> str:
    """The hex SHA-256 of a certificate's SubjectPublicKeyInfo, from its DER bytes; empty where there is none."""
    try:
        _, start, _ = _element(certificate, 0)
        _, at, end = _element(certificate, start)
        tag, _, after = _element(certificate, at)
        if tag == VERSION:
            at = after
        for _ in range(BEFORE_KEY):
            _, _, at = _element(certificate, at)
        tag, _, after = _element(certificate, at)
    except IndexError:
        return ""
    return hashlib.sha256(certificate[at:after]).hexdigest() if tag == SEQUENCE and after <= end else ""


def _element(der: bytes, at: int) -> tuple[int, int, int]:
    """Tag, where its content begins, and where it ends, of the element at a place."""
    tag, length, begins = der[at], der[at + 1], at + 2
    if length & 0x80:
        size = length & 0x7F
        length = int.from_bytes(der[begins : begins + size], "big")
        begins += size
    if begins + length > len(der):
        raise IndexError(at)
    return tag, begins, begins + length
