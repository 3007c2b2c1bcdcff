"""Join a farm with a joining slip: its code typed or read from the square on it."""

from __future__ import annotations

import ipaddress
import json
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import parse_qs, urlsplit

from mobile.actions.choose_farm import choose_farm
from mobile.actions.ids import new_nonce
from mobile.ports import Enrolment, Phone
from mobile.replies import Link, Reply
from mobile.trouble import BadSlip, JoinRefused
from shared.wire.pull import Joined, JoinRequest
from shared.wire.scalars import SHA_TEXT

CODE_LENGTH = 10
SETTING = "joining"
OPENS_APP = "goodground://"
NETWORK_WHY = {
    "no_answer": "no_answer",
    "server_error": "server_error",
    "busy": "busy",
    "forbidden": "another_server",
}


@dataclass(frozen=True, slots=True)
class Slip:
    """A joining slip as read: the code in one form, the server's address, the key to pin where it has one."""

    code: str
    address: str
    pin: str | None = None


def read_slip(code: str, address: str) -> Slip:
    """A slip as somebody typed it. Spaces, dashes and small letters are no matter; the address may be the whole link
    of the slip, with its code and the key to pin. Raises ``BadSlip``."""
    place, _, told = _web_address(address).partition("#")
    facts = parse_qs(told)
    plain = "".join(char for char in (code or _one(facts, "join")).upper() if char not in " -–.\t")
    if len(plain) != CODE_LENGTH or not plain.isascii() or not plain.isalnum():
        raise BadSlip("bad_code", code)
    return Slip(plain, server_address(place), _pin(_one(facts, "pin")))


def read_square(text: str) -> Slip:
    """A slip as the square on it says: the server's address with ``join`` and, for a certificate of its own,
    ``pin`` after the mark. Raises ``BadSlip``."""
    return read_slip("", text)


def _web_address(link: str) -> str:
    """The square on a slip holds a link that opens this app: the server's address, always by HTTPS, under our own
    scheme."""
    text = link.strip()
    opens = text[: len(OPENS_APP)].lower() == OPENS_APP
    return f"https://{text[len(OPENS_APP) :]}" if opens else text


def _one(facts: dict[str, list[str]], key: str) -> str:
    return facts.get(key, [""])[0]


def _pin(typed: str) -> str | None:
    """The SHA-256 of a server's key. One that is only nearly right would lock the phone out: it is refused here."""
    if not typed:
        return None
    plain = typed.replace(":", "").strip().lower()
    if SHA_TEXT.fullmatch(plain) is None:
        raise BadSlip("bad_pin", typed)
    return plain


def server_address(typed: str) -> str:
    """A server's address in one form. Without a scheme it is HTTPS, or plain on this very machine, where alone
    plain is allowed (W4d). Raises ``BadSlip``."""
    text = typed.strip()
    if not text:
        raise BadSlip("no_address", typed)
    if "://" not in text:
        text = ("http://" if _is_loopback(urlsplit(f"//{text}").hostname) else "https://") + text
    parts = urlsplit(text)
    try:
        whole = bool(parts.hostname) and parts.port != 0 and not parts.query and " " not in text
    except ValueError:
        whole = False
    if parts.scheme not in ("http", "https") or not whole:
        raise BadSlip("bad_address", typed)
    if parts.scheme == "http" and not _is_loopback(parts.hostname):
        raise BadSlip("plain_http", typed)
    return text.rstrip("/")


def _is_loopback(host: str | None) -> bool:
    if host is None:
        return False
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def join(phone: Phone, slip: Slip) -> Enrolment:
    """The farm joined, now the current one; a farm joined again keeps its entries, to be handed in anew.

    Asks the network and may take half a minute: never on the screen's thread. Where the answer was lost the
    same slip can be tried again, it gives the same answer (W4). Raises ``JoinRefused`` or a ``BookTrouble``."""
    nonce = _nonce(phone, slip)
    link = Link(slip.address, pin=slip.pin)
    reply = phone.server.enrol(
        link, JoinRequest(slip.code, nonce, phone.label or phone.platform, phone.platform, phone.app)
    )
    if reply.value is None:
        raise JoinRefused(_why(reply), reply.retry_after_s)
    joined: Joined = reply.value
    enrolment = phone.book.enrol(joined, replace(link, token=joined.token))
    phone.book.keep_setting(SETTING, None)
    return choose_farm(phone, enrolment.id)


def _nonce(phone: Phone, slip: Slip) -> str:
    """One nonce a slip, kept before the first try."""
    kept: dict[str, Any] = json.loads(phone.book.setting(SETTING) or "{}")
    if kept.get("code") == slip.code and kept.get("address") == slip.address:
        return str(kept["nonce"])
    nonce = new_nonce(phone)
    phone.book.keep_setting(SETTING, json.dumps({"code": slip.code, "address": slip.address, "nonce": nonce}))
    return nonce


def _why(reply: Reply[Joined]) -> str:
    if reply.problem is not None and reply.problem.code:
        return reply.problem.code
    return NETWORK_WHY.get(reply.heard, "another_server")
