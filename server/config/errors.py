"""Why the server can't be started as it was told to."""

from __future__ import annotations

from shared.errors import GoodgroundError


class BadCertificate(GoodgroundError):
    """A certificate and a key that can't be read or don't belong together."""

    code = "bad_certificate"

    def __init__(self, certificate: str, key: str, detail: str) -> None:
        self.certificate = certificate
        self.key = key
        self.detail = detail
        super().__init__(certificate, key, detail)


class TakesTwo(GoodgroundError):
    """``--tls`` with one file: it takes none, or a certificate and its key."""

    code = "takes_two"
