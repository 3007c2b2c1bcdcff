"""HTTPS by the server itself: the farm's own key and certificate, and what a joining slip tells of them (W4, W4d)."""

from __future__ import annotations

import hashlib
import ipaddress
import os
import ssl
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, PublicFormat
from cryptography.x509.oid import NameOID

from server.config.errors import BadCertificate
from server.config.place import Place

LASTS = timedelta(days=3650)
"""Common practice, no source. Phones go by the key, and by no date."""


@dataclass(frozen=True, slots=True)
class Shown:
    """The files that the server shows itself with, and the SHA-256 of its key where nobody but the slip vouches for
    it; None where an authority signed it."""

    certificate: Path
    key: Path
    pin: str | None


def own(place: Place, names: Iterable[str], now: datetime) -> Shown:
    """The farm's own key and certificate, made where there is none yet. A key, once made, stays: phones know it."""
    if not place.tls_key.exists():
        key = ec.generate_private_key(ec.SECP256R1())
        pem = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
        made = os.open(place.tls_key, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(made, "wb") as file:
            file.write(pem)
        place.tls_certificate.write_bytes(_certificate(key, names, now))
    return given(place.tls_certificate, place.tls_key)


def _certificate(key: ec.EllipticCurvePrivateKey, names: Iterable[str], now: datetime) -> bytes:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Goodground")])
    made = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + LASTS)
        .add_extension(x509.SubjectAlternativeName([_name(one) for one in names]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
    )
    return made.sign(key, hashes.SHA256()).public_bytes(Encoding.PEM)


def _name(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name.strip("[]")))
    except ValueError:
        return x509.DNSName(name)


def given(certificate: Path, key: Path) -> Shown:
    """A certificate and key that somebody else made. Raises ``BadCertificate`` where they can't be used together."""
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certificate, key)
        first = x509.load_pem_x509_certificate(certificate.read_bytes())
    except (OSError, ValueError) as error:
        raise BadCertificate(str(certificate), str(key), _why(error)) from None
    return Shown(certificate, key, _pin(first) if first.issuer == first.subject else None)


def _why(error: Exception) -> str:
    return (getattr(error, "strerror", None) or str(error) or type(error).__name__).strip()


def _pin(certificate: x509.Certificate) -> str:
    spki = certificate.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    return hashlib.sha256(spki).hexdigest()
