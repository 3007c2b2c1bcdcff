"""The server port over HTTP: what goes up, what comes back, and nothing raised for what a network may do."""

from __future__ import annotations

import gzip
import ipaddress
import json
import threading
from collections.abc import Mapping
from typing import Any, TypeVar
from urllib.parse import urlsplit

import requests
from requests.adapters import BaseAdapter

from mobile.replies import Link, Reply
from mobile.transport.answers import CHANGES, NOT_THERE, Reader, reply_of
from mobile.transport.photo_sender import PhotoSender
from mobile.transport.pinned import PinnedAdapter
from shared.wire import pull, push, scalars, v1
from shared.wire.pull import Hello, Joined, JoinRequest, Page
from shared.wire.push import PushAnswer

T = TypeVar("T")
CONNECT_S = 5.0
READ_S = 30.0
KINDS = ",".join(sorted(set(pull.KINDS_PULLED) - {"entries"}))
MOST_ANSWER_BYTES = 32 * 1024 * 1024


class HttpServer(PhotoSender):
    """``app`` is the app's version; ``adapter`` something else than the network at the other end."""

    def __init__(
        self,
        app: str,
        timeouts_s: tuple[float, float] = (CONNECT_S, READ_S),
        adapter: BaseAdapter | None = None,
    ) -> None:
        self.app = app
        self.timeouts_s = timeouts_s
        self._adapter = adapter
        self._sessions: dict[tuple[int, str, str | None], requests.Session] = {}

    def hello(self, link: Link) -> Reply[Hello]:
        return self._ask(link, "GET", "hello/", pull.read_hello)

    def enrol(self, link: Link, request: JoinRequest) -> Reply[Joined]:
        return self._ask(link, "POST", "enrol/", pull.read_joined, tree=pull.tree_of(request))

    def enrol_again(self, link: Link, nonce: str) -> Reply[Joined]:
        return self._ask(link, "POST", "enrol/again/", pull.read_joined, tree={"nonce": nonce})

    def roll(self, link: Link, nonce: str) -> Reply[str]:
        return self._ask(link, "POST", "token/", _token, tree={"nonce": nonce})

    def push(self, link: Link, body: bytes) -> Reply[PushAnswer]:
        packed = gzip.compress(body, 1, mtime=0)
        headers = {
            "Content-Type": push.CONTENT_TYPE,
            "Content-Encoding": "gzip",
            "Content-Digest": push.content_digest(packed),
        }
        return self._ask(link, "POST", "entries/", push.read_answer, body=packed, headers=headers)

    def changes(self, link: Link, since: str, limit: int) -> Reply[Page]:
        headers = {"If-None-Match": f'"{since}"'} if since else {}
        query = {"limit": str(limit), "kinds": KINDS} | ({"since": since} if since else {})
        return self._ask(link, "GET", "changes/", pull.read_page, query=query, headers=headers, what=CHANGES)

    def close(self) -> None:
        for session in self._sessions.values():
            session.close()
        self._sessions.clear()

    def _ask(
        self,
        link: Link,
        method: str,
        path: str,
        read: Reader[T],
        *,
        tree: dict[str, Any] | None = None,
        body: bytes | None = None,
        query: dict[str, str] | None = None,
        headers: dict[str, str] | None = None,
        what: str = "",
    ) -> Reply[T]:
        if tree is not None:
            body = json.dumps(tree).encode()
            headers = {"Content-Type": "application/json"}
        answer = self._send(link, method, path, body, query, headers or {})
        return NOT_THERE if answer is None else reply_of(*answer, read, what)

    def _send(
        self,
        link: Link,
        method: str,
        path: str,
        body: bytes | None,
        query: dict[str, str] | None,
        headers: dict[str, str],
    ) -> tuple[int, Mapping[str, str], bytes] | None:
        """Status, headers and whole body of an answer; None for whatever is none."""
        if not is_allowed(link.address):
            return None
        try:
            answer = self._session(link).request(
                method,
                f"{link.address}/api/v1/{path}",
                params=query,
                data=body,
                headers=self._headers(link) | headers,
                timeout=self.timeouts_s,
                allow_redirects=False,
                stream=True,
            )
            with answer:
                return answer.status_code, answer.headers, _content(answer, method)
        except (requests.RequestException, OSError, ValueError):
            return None

    def _headers(self, link: Link) -> dict[str, str]:
        headers = {
            "Goodground-Wire": str(v1.VERSION),
            "Goodground-App": self.app,
            "Accept": "application/json",
        }
        if link.waiting is not None:
            headers["Goodground-Waiting"] = str(link.waiting)
        if link.token:
            headers["Authorization"] = f"Bearer {link.token}"
        return headers

    def _session(self, link: Link) -> requests.Session:
        """One a thread and server, so that a connection is used again. Proxies and passwords that lie
        about on the machine are not taken up."""
        key = (threading.get_ident(), link.address, link.pin)
        session = self._sessions.get(key)
        if session is None:
            session = self._sessions[key] = requests.Session()
            session.trust_env = False
            if self._adapter is not None:
                session.mount("http://", self._adapter)
            elif link.pin is not None:
                session.mount("https://", PinnedAdapter(link.pin))
        return session


def is_allowed(address: str) -> bool:
    """HTTPS anywhere; plain HTTP on loopback alone (W4d)."""
    parts = urlsplit(address)
    if parts.scheme == "https":
        return bool(parts.hostname)
    if parts.scheme != "http" or parts.hostname is None:
        return False
    try:
        return ipaddress.ip_address(parts.hostname).is_loopback
    except ValueError:
        return parts.hostname == "localhost"


def _content(answer: requests.Response, method: str) -> bytes:
    """The whole body or an error: one cut short is no answer, and one without end is none either."""
    if method == "HEAD":
        return b""
    content = bytearray()
    for part in answer.iter_content(65_536):
        content += part
        if len(content) > MOST_ANSWER_BYTES:
            raise ValueError("an answer without end")
    promised = answer.headers.get("Content-Length")
    if promised is not None and "Content-Encoding" not in answer.headers and int(promised) != len(content):
        raise ValueError("an answer cut short")
    return bytes(content)


def _token(tree: Any) -> str:
    return scalars.text(tree["token"], "token")
