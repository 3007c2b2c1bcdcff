"""A server after the contract, in memory: wire.md's clauses on ``shared.sync``, with no Django and no disk.

Requests come in as HTTP does, by ``handle``; ``wired`` mounts it under the phone's own transport, so that every
byte of a request and an answer is real.
"""

from __future__ import annotations

import copy
import gzip
import hashlib
import io
import json
import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs, urlsplit
from uuid import UUID

import requests
from requests.adapters import BaseAdapter
from urllib3.response import HTTPResponse

from mobile.device.fake import FakeChance, FakeClock
from mobile.ports import Clock
from mobile.transport.http_server import HttpServer
from shared.errors import BadFrame, Fork, Gap, TooLarge
from shared.sync.chain import NO_HEAD, BookRow, first_chain, next_chain
from shared.sync.outbox import MOST_BYTES
from shared.sync.receipts import Enrolment, Facts, Known, judge, placed
from shared.wire import lines, pull, push, v1
from shared.wire.pull import Joined, Page, Problem
from shared.wire.scalars import moment, written_moment
from shared.words.farm import Farm
from shared.words.identity import uuid7
from shared.words.person import Person, digits_hash
from tests.mobile.fake_photos import FakePhotos

ADDRESS = "http://127.0.0.1:9"


@dataclass
class Answer:
    status: int
    content: bytes = b""
    headers: dict[str, str] = field(default_factory=dict)


@dataclass
class FakePhone:
    id: UUID
    farm: UUID
    heads: list[str] = field(default_factory=lambda: [NO_HEAD])
    receipts: dict[int, Known] = field(default_factory=dict)
    stopped: bool = False
    copied: bool = False
    safe: int = 0

    @property
    def line(self) -> int:
        return len(self.heads) - 1


@dataclass
class FakeFarm:
    id: UUID
    name: str
    people: list[Person]
    era: int = 1
    rows: list[tuple[BookRow, bytes | None, UUID | None]] = field(default_factory=list)
    chains: list[str] = field(default_factory=list)
    by_sha: dict[str, Known] = field(default_factory=dict)
    by_id: dict[UUID, str] = field(default_factory=dict)
    turn: int = 0
    reference: dict[str, dict[str, tuple[int, dict[str, Any]]]] = field(default_factory=dict)
    gone: list[tuple[int, str, str]] = field(default_factory=list)
    tombstones_from: int = 0

    def __post_init__(self) -> None:
        self.chains = [first_chain(self.id)]
        for one in self.people:
            self.put("people", pull.row_tree(one))

    def put(self, kind: str, tree: dict[str, Any]) -> None:
        self.turn += 1
        self.reference.setdefault(kind, {})[str(tree["id"])] = (self.turn, tree)

    def drop(self, kind: str, id: str) -> None:
        self.turn += 1
        del self.reference[kind][id]
        self.gone.append((self.turn, kind, id))


@dataclass
class State:
    """All that a backup holds."""

    farms: dict[UUID, FakeFarm] = field(default_factory=dict)
    phones: dict[UUID, FakePhone] = field(default_factory=dict)
    tokens: dict[str, UUID] = field(default_factory=dict)
    waiting_tokens: dict[str, UUID] = field(default_factory=dict)
    slips: dict[str, UUID] = field(default_factory=dict)
    used: dict[tuple[str, str], bytes] = field(default_factory=dict)
    photos: FakePhotos = field(default_factory=FakePhotos)


class FakeServer:
    def __init__(self, clock: Clock | None = None) -> None:
        self.clock = clock or FakeClock()
        self.chance = FakeChance(99)
        self.state = State()
        self.requests: list[str] = []
        self.enrols_again = True
        self.too_old = False

    def new_id(self) -> UUID:
        return uuid7(int(self.clock.now().timestamp() * 1000), self.chance.bytes(10))

    def found(self, name: str = "Harrow End", people: int = 2) -> FakeFarm:
        hands = [("Orla Penhallow", "OP", "owner", "en"), ("Ines Quintoval", "IQ", "crew", "es")][:people]
        made = []
        for place, (who, initials, role, language) in enumerate(hands):
            id = self.new_id()
            made.append(Person(id, who, initials, role, language, digits_hash(id, f"{1406 + place}")))
        farm = FakeFarm(self.new_id(), name, made)
        self.state.farms[farm.id] = farm
        return farm

    def slip(self, farm: FakeFarm, code: str = "7K2MPQX4RD") -> str:
        self.state.slips[code] = farm.id
        return code

    def backup(self) -> State:
        for phone in self.state.phones.values():
            phone.safe = phone.line
        return copy.deepcopy(self.state)

    def restore(self, backup: State) -> None:
        """A restore always begins a new era (W13)."""
        eras = {farm.id: farm.era for farm in self.state.farms.values()}
        self.state = copy.deepcopy(backup)
        for farm in self.state.farms.values():
            farm.era = eras.get(farm.id, farm.era) + 1
            farm.put("people", pull.row_tree(farm.people[0]))

    def kept(self, farm: FakeFarm) -> list[UUID]:
        """The ids in the book, in its order, that are kept."""
        book = self.state.farms[farm.id].rows
        return [id for row, _, id in book if row.outcome == "kept" and id is not None]

    def handle(self, method: str, url: str, headers: Mapping[str, str], body: bytes) -> Answer:
        parts = urlsplit(url)
        path = parts.path.removeprefix("/api/v1/")
        self.requests.append(f"{method} {path}")
        query = {key: values[0] for key, values in parse_qs(parts.query).items()}
        if path == "hello/":
            return self._hello()
        if path == "enrol/":
            return self._enrol(json.loads(body))
        token = headers.get("Authorization", "").removeprefix("Bearer ")
        phone = self._phone(token)
        if phone is None:
            return problem(401, "token_unknown")
        if phone.stopped:
            return problem(401, "phone_stopped")
        answer = self._asked(method, path, query, headers, body, phone)
        answer.headers["Goodground-Time"] = written_moment(self.clock.now())
        answer.headers["Goodground-Line"] = f"{phone.line} {phone.heads[-1][:16]}"
        return answer

    def _asked(
        self,
        method: str,
        path: str,
        query: Mapping[str, str],
        headers: Mapping[str, str],
        body: bytes,
        phone: FakePhone,
    ) -> Answer:
        if path == "entries/":
            return self._push(headers, body, phone)
        if path == "changes/":
            return self._changes(query, headers, phone)
        if path == "token/":
            return self._roll(json.loads(body)["nonce"], phone)
        if path.startswith("photos/"):
            status, code, more = self.state.photos.asked(method, path, headers, body)
            return problem(status, code) if code else Answer(status, b"", more)
        if path == "enrol/again/" and self.enrols_again:
            return self._again(json.loads(body)["nonce"], phone)
        return Answer(404, b"<html>not here</html>", {"Content-Type": "text/html"})

    def _phone(self, token: str) -> FakePhone | None:
        sha = hashlib.sha256(token.encode()).hexdigest()
        if sha in self.state.waiting_tokens:
            id = self.state.waiting_tokens.pop(sha)
            self.state.tokens = {key: one for key, one in self.state.tokens.items() if one != id}
            self.state.tokens[sha] = id
        return self.state.phones.get(self.state.tokens.get(sha, UUID(int=0)))

    def _hello(self) -> Answer:
        at = moment(written_moment(self.clock.now()), "")
        return told(200, pull.tree_of(pull.Hello((1,), "0.1.0", 500, MOST_BYTES, at)))

    def _enrol(self, tree: dict[str, Any]) -> Answer:
        request = pull.read_join(tree)
        before = self.state.used.get((request.code, request.nonce))
        if before is not None:
            return Answer(201, before, {"Content-Type": "application/json"})
        farm = self.state.slips.pop(request.code, None)
        if farm is None:
            used = any(code == request.code for code, _ in self.state.used)
            return problem(409, "code_used") if used else problem(404, "code_unknown")
        answer = self._joined(self.state.farms[farm])
        self.state.used[request.code, request.nonce] = answer.content
        return answer

    def _joined(self, farm: FakeFarm) -> Answer:
        phone = FakePhone(self.new_id(), farm.id)
        token = self.chance.bytes(32).hex()
        self.state.phones[phone.id] = phone
        self.state.tokens[hashlib.sha256(token.encode()).hexdigest()] = phone.id
        at = moment(written_moment(self.clock.now()), "")
        zone = Farm(farm.id, farm.name, "America/New_York")
        return told(201, pull.tree_of(Joined(phone.id, token, zone, tuple(farm.people), at)))

    def _again(self, nonce: str, phone: FakePhone) -> Answer:
        key = (str(phone.id), nonce)
        if key not in self.state.used:
            phone.copied = True
            self.state.used[key] = self._joined(self.state.farms[phone.farm]).content
        return Answer(201, self.state.used[key], {"Content-Type": "application/json"})

    def _roll(self, nonce: str, phone: FakePhone) -> Answer:
        token = hashlib.sha256(f"roll {phone.id} {nonce}".encode()).hexdigest()
        kept = {key: one for key, one in self.state.waiting_tokens.items() if one != phone.id}
        self.state.waiting_tokens = kept | {hashlib.sha256(token.encode()).hexdigest(): phone.id}
        return told(200, {"token": token})

    def _push(self, headers: Mapping[str, str], body: bytes, phone: FakePhone) -> Answer:
        if not push.digest_agrees(headers.get("Content-Digest"), body):
            return problem(400, "bad_digest")
        try:
            if headers.get("Content-Encoding") == "gzip":
                body = gzip.decompress(body)
            frame, arrivals = push.read_push(body)
            before = Enrolment(phone.line, phone.heads[-1])
            placed(before, frame.first, frame.prev, lambda n: phone.heads[n])
            if frame.phone != phone.id:
                return problem(409, "fork")
            farm = self.state.farms[phone.farm]
            facts = Facts(phone.receipts, farm.by_sha, farm.by_id)
            rulings = judge(before, arrivals, facts, lines.decode, v1.MOST_ENTRY_BYTES)
        except (BadFrame, OSError, EOFError, zlib.error):
            return problem(400, "bad_frame")
        except TooLarge:
            return problem(413, "too_large")
        except Gap as gap:
            return problem(409, "gap", {"expect": gap.expect})
        except Fork:
            return problem(409, "fork")
        results = [self._keep(farm, phone, one) for one in rulings]
        moved = [one.line for one in rulings if one.moved]
        last = moved[-1] if moved else phone.line
        at = moment(written_moment(self.clock.now()), "")
        answer = push.PushAnswer(tuple(results), last, phone.heads[last], phone.safe, at, 0)
        return told(200, push.answer_tree(answer))

    def _keep(self, farm: FakeFarm, phone: FakePhone, one: Any) -> push.LineResult:
        number = one.number
        if one.moved:
            phone.heads.append(one.head)
        if one.fresh:
            number = len(farm.rows) + 1
            row = BookRow(number, phone.id, one.line, one.outcome, one.code, self.clock.now(), one.sha)
            farm.rows.append((row, one.raw, one.entry_id))
            farm.chains.append(next_chain(farm.chains[-1], row))
            if one.outcome != "refused":
                farm.by_sha.setdefault(one.sha, Known(one.sha, one.outcome, one.code, number))
            if one.entry_id is not None:
                farm.by_id.setdefault(one.entry_id, one.sha)
        elif number is None and one.sha in farm.by_sha:
            number = farm.by_sha[one.sha].number
        if one.moved:
            first = one.was or one.outcome
            phone.receipts[one.line] = Known(one.sha, first, one.code, number or 0)
        return push.LineResult(one.line, one.outcome, number, one.was, one.code, one.detail)

    def _changes(self, query: Mapping[str, str], headers: Mapping[str, str], phone: FakePhone) -> Answer:
        if self.too_old:
            return problem(403, "app_too_old")
        farm = self.state.farms[phone.farm]
        number, turn = 0, 0
        since = query.get("since", "")
        if since:
            try:
                era, number_text, chain, turn_text = since.split("_")
                number, turn = int(number_text), int(turn_text)
            except ValueError:
                return problem(409, "diverged")
            if int(era) != farm.era or number > len(farm.rows) or farm.chains[number][:8] != chain:
                return problem(409, "diverged")
            if turn < farm.tombstones_from:
                return problem(410, "start_over")
        page = self._page(farm, phone, number, turn, int(query.get("limit", "500")))
        etag = f'"{page.next}"'
        if since and headers.get("If-None-Match") == etag:
            return Answer(304, b"", {"ETag": etag})
        return told(200, pull.page_tree(page), {"ETag": etag})

    def _page(self, farm: FakeFarm, phone: FakePhone, number: int, turn: int, limit: int) -> Page:
        every = [
            (at, kind, tree)
            for kind, rows in farm.reference.items()
            for at, tree in rows.values()
            if at > turn
        ]
        changed = sorted(every, key=lambda one: one[0])
        cut, more = changed[:limit], len(changed) > limit
        to_turn = cut[-1][0] if more else farm.turn
        out: dict[str, list[dict[str, Any]]] = {}
        for _, kind, tree in cut:
            out.setdefault(kind, []).append(tree)
        for row, _, id in farm.rows[number:]:
            if row.phone == phone.id:
                mark = {"kept": "unread"}.get(row.outcome, "held")
                key = str(id or lines.handle(row.sha))
                verdict = {"id": key, "number": row.number, "mark": mark, "outcome": row.outcome}
                out.setdefault("verdicts", []).append(verdict | {"code": row.code, "struck": False})
        gone: dict[str, list[str]] = {}
        for at, kind, key in farm.gone:
            if turn < at <= to_turn:
                gone.setdefault(kind, []).append(key)
        end = len(farm.rows)
        return Page(out, gone, f"{farm.era}_{end}_{farm.chains[end][:8]}_{to_turn}", more)


def told(status: int, tree: dict[str, Any], headers: dict[str, str] | None = None) -> Answer:
    content = json.dumps(tree).encode()
    return Answer(status, content, {"Content-Type": "application/json"} | (headers or {}))


def problem(status: int, code: str, more: dict[str, Any] | None = None) -> Answer:
    tree = pull.problem_tree(Problem(code, code, status, more=more or {}))
    return Answer(status, json.dumps(tree).encode(), {"Content-Type": "application/problem+json"})


Between = Callable[[requests.PreparedRequest, Callable[[], Answer]], Answer]


class Wire(BaseAdapter):
    """What lies between the phone and the server. ``between`` may drop, repeat, cut or replace; it raises a
    ``requests.ConnectionError`` for silence."""

    def __init__(self, server: FakeServer, between: Between | None = None) -> None:
        super().__init__()
        self.server = server
        self.between = between or (lambda request, go: go())

    def send(self, request: requests.PreparedRequest, **kwargs: Any) -> requests.Response:
        body = request.body if isinstance(request.body, bytes) else (request.body or "").encode()

        def go() -> Answer:
            return self.server.handle(request.method or "", request.url or "", request.headers, body)

        answer = self.between(request, go)
        raw = HTTPResponse(
            body=io.BytesIO(answer.content),
            headers={"Content-Length": str(len(answer.content))} | answer.headers,
            status=answer.status,
            preload_content=False,
        )
        response = requests.Response()
        response.status_code = answer.status
        response.headers.update(raw.headers)
        response.raw = raw
        response.request = request
        response.url = request.url or ""
        return response

    def close(self) -> None:
        pass


def wired(server: FakeServer, between: Between | None = None) -> HttpServer:
    """The phone's own transport, with this server at the other end of it."""
    return HttpServer("0.1.0", adapter=Wire(server, between))


__all__ = ["ADDRESS", "Answer", "FakeFarm", "FakeServer", "Wire", "wired"]
