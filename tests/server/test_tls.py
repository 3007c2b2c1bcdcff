"""HTTPS by the server itself: its own key, the slip that tells of it, the phone that speaks to that key alone."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qs

import pytest
import requests

from mobile.actions.choose_person import choose_person, people
from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_square
from mobile.replies import Link
from mobile.transport.http_server import HttpServer
from mobile.trouble import JoinRefused
from server.config import tls
from server.config.commands import run
from server.config.errors import BadCertificate
from server.config.place import Place
from tests.mobile.fake_server import FakeServer
from tests.mobile.kit import a_phone, cover
from tests.server.ground import START
from tests.server.serving import command, serving


def square(data: Path, address: str) -> str:
    """The link of a new slip as ``code --square`` prints it, below the code and the square."""
    printed = command(data, "code", "--farm", "Fallow Rise", "--square", address).splitlines()
    link = printed[-1]
    assert printed[0] in link
    assert len(printed) > 12, "a square was drawn"
    return link


def test_W4_W4d_a_phone_joins_over_https_by_the_key_on_its_slip_and_by_no_other(tmp_path: Path) -> None:
    data = tmp_path / "data"
    command(data, "new-farm", "Fallow Rise")
    with serving(data, "--tls") as (host, port):
        address = f"https://{host}:{port}"
        link = square(data, address)
        pin = parse_qs(link.partition("#")[2])["pin"][0]
        phone = replace(a_phone(tmp_path, FakeServer()), server=HttpServer("0.1.0"))
        wrong = link.replace(pin, "0" * 64)
        for bad in (wrong, link.replace(f"&pin={pin}", "")):
            with pytest.raises(JoinRefused) as refused:
                join(phone, read_square(bad))
            assert refused.value.why == "no_answer"
        at = join(phone, read_square(link)).id
        choose_person(phone, at, people(phone, at)[0].id)
        cover(phone, at)
        assert hand_in(phone, at).is_whole
        assert phone.book.enrolment(at).waiting == 0
        plain = HttpServer("0.1.0").hello(Link(f"http://{host}:{port}"))
        assert plain.heard == "no_answer"
        answer = requests.get(f"{address}/sign-in/", verify=str(data / "tls.crt"), timeout=30)
        assert answer.status_code == 200
        assert "Secure" in answer.headers["Set-Cookie"]
        assert "Strict-Transport-Security" not in answer.headers
    assert (data / "tls.key").stat().st_mode & 0o077 == 0
    key = (data / "tls.key").read_bytes()
    assert tls.own(Place(data), ["localhost"], START).pin == pin
    assert (data / "tls.key").read_bytes() == key


def test_W4_only_a_key_that_nobody_else_vouches_for_stands_on_a_slip(tmp_path: Path) -> None:
    openssl = ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes"]
    for name, more in (("authority", []), ("farm", ["-CA", "authority.pem", "-CAkey", "authority.key"])):
        subprocess.run(
            [*openssl, "-keyout", f"{name}.key", "-out", f"{name}.pem", "-subj", f"/CN={name}", *more],
            cwd=tmp_path, check=True, capture_output=True, timeout=60,
        )  # fmt: skip
    assert tls.given(tmp_path / "farm.pem", tmp_path / "farm.key").pin is None
    assert len(tls.given(tmp_path / "authority.pem", tmp_path / "authority.key").pin or "") == 64
    for pair in (("farm.pem", "authority.key"), ("farm.key", "farm.key"), ("nowhere.pem", "farm.key")):
        with pytest.raises(BadCertificate):
            tls.given(*(tmp_path / name for name in pair))
    place = Place(tmp_path)
    place.keep_pin("ab" * 32)
    assert place.pin() == "ab" * 32
    place.keep_pin(None)
    assert place.pin() is None


@pytest.mark.django_db
def test_files_that_are_no_certificate_are_told_in_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GOODGROUND_TLS", "")
    assert run(["serve", "--data", str(tmp_path), "--tls", "no.pem", "no.key"]) == 1
    assert "no.pem and no.key: No such file or directory." in capsys.readouterr().err
    assert run(["serve", "--data", str(tmp_path), "--tls", "no.pem"]) == 1
    assert capsys.readouterr().err.startswith("Write --tls CERTIFICATE KEY, or --tls alone")
