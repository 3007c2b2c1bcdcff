"""A connection to a server that has a certificate of its own: known by its fingerprint, and by nothing else."""

from __future__ import annotations

from typing import Any

from requests.adapters import HTTPAdapter


class PinnedAdapter(HTTPAdapter):
    """Takes exactly the certificate with this SHA-256 (W4). No authority is asked, and no name in it counts."""

    def __init__(self, pin: str) -> None:
        self._pin = pin.replace(":", "").lower()
        super().__init__()

    def init_poolmanager(self, *args: Any, **kwargs: Any) -> None:
        super().init_poolmanager(
            *args, assert_fingerprint=self._pin, assert_hostname=False, cert_reqs="CERT_NONE", **kwargs
        )

    def cert_verify(self, conn: Any, url: str, verify: Any, cert: Any) -> None:
        conn.cert_reqs = "CERT_NONE"
        conn.ca_certs = None
        conn.ca_cert_dir = None
