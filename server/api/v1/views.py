"""The endpoints: decode, call, encode. What is right or wrong is said in ``shared`` and ``intake``."""

from __future__ import annotations

import json
from typing import Any, ClassVar

import msgspec
from django.conf import settings
from django.http import Http404, HttpResponse, StreamingHttpResponse
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request

from server.api.v1 import describing, pages
from server.api.v1.bodies import json_body, push_body, text_of
from server.api.v1.endpoint import Endpoint, as_json
from server.book.export import exported
from server.intake.writes import accept
from server.people import slips, tokens
from server.people.clock import now
from server.people.models import Phone
from shared.errors import AppTooOld
from shared.sync.outbox import MOST_BYTES, MOST_LINES
from shared.wire import v1
from shared.wire.pull import Hello, page_tree, read_join, tree_of
from shared.wire.push import CONTENT_TYPE, answer_tree
from shared.wire.scalars import moment, written_moment

SERVER = "0.1.0"
NONCE = (8, 128)


def _bytes(tree: Any) -> bytes:
    return json.dumps(tree, ensure_ascii=False, separators=(",", ":")).encode()


class HelloView(Endpoint):
    """Versions, limits, time: what a phone asks before it joins."""

    authentication_classes: ClassVar[list[Any]] = []
    is_open = True

    @extend_schema(**describing.HELLO)
    def get(self, request: Request) -> HttpResponse:
        at = moment(written_moment(now()), "server_time")
        return as_json(_bytes(tree_of(Hello((v1.VERSION,), SERVER, MOST_LINES, MOST_BYTES, at))))


@extend_schema(exclude=True)
class NowhereView(Endpoint):
    """Any other address: told as a problem, as everything else is."""

    authentication_classes: ClassVar[list[Any]] = []
    is_open = True

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        raise Http404


class EnrolView(Endpoint):
    """A joining slip's code for a token (W4)."""

    authentication_classes: ClassVar[list[Any]] = []
    is_open = True

    @extend_schema(**describing.ENROL)
    def post(self, request: Request) -> HttpResponse:
        tree = json_body(request._request)
        text_of(tree, "nonce", *NONCE)
        for key, most in (("code", 40), ("label", 100), ("platform", 40), ("app", 40)):
            text_of(tree, key, 0, most)
        address = request.META.get("REMOTE_ADDR") or "-"
        return as_json(_bytes(slips.join(read_join(tree), address, now())), 201)


class EnrolAgainView(Endpoint):
    """A new enrolment for a phone that finds itself copied (W4b)."""

    phone: Phone

    @extend_schema(**describing.ENROL_AGAIN)
    def post(self, request: Request) -> HttpResponse:
        nonce = text_of(json_body(request._request), "nonce", *NONCE)
        return as_json(_bytes(slips.enrol_again(self.phone.id, nonce, now())), 201)


class TokenView(Endpoint):
    """A new token, which ends the old one when it is first used (W4)."""

    phone: Phone

    @extend_schema(**describing.TOKEN)
    def post(self, request: Request) -> HttpResponse:
        nonce = text_of(json_body(request._request), "nonce", *NONCE)
        return as_json(_bytes({"token": tokens.roll(self.phone.id, nonce)}))


class EntriesView(Endpoint):
    """A push (W6 to W8)."""

    phone: Phone

    @extend_schema(**describing.ENTRIES)
    def post(self, request: Request) -> HttpResponse:
        told = accept(self.phone.id, push_body(request._request), now(), self.phone.line)
        self.phone.line, self.phone.head = told.line, told.head
        return as_json(msgspec.json.encode(answer_tree(told)))


class ChangesView(Endpoint):
    """A pull (W12, W13)."""

    phone: Phone

    @extend_schema(**describing.CHANGES)
    def get(self, request: Request) -> HttpResponse:
        _new_enough(request)
        asked = _asked(request)
        page = pages.page(self.phone, asked, now())
        if page is None:
            out = HttpResponse(status=304)
            out["ETag"] = f'"{asked.since}"'
            del out["Content-Type"]
        else:
            out = as_json(_bytes(page_tree(page)))
            out["ETag"] = f'"{page.next}"'
        out["Cache-Control"] = "private, no-cache"
        out["Vary"] = "Authorization"
        return out


class BookView(Endpoint):
    """The farm's book for anybody with a live token of the farm (W20)."""

    phone: Phone

    @extend_schema(**describing.BOOK)
    def get(self, request: Request) -> StreamingHttpResponse:
        query = request._request.GET
        first, last = _number(query.get("from")), _number(query.get("to"))
        lines = exported(self.phone.farm, first or 1, last)
        out = StreamingHttpResponse(lines, content_type=CONTENT_TYPE)
        out["Cache-Control"] = "no-store"
        return out


def _number(text: str | None) -> int | None:
    """A book number, None where it is none."""
    return int(text) if text is not None and text.isdecimal() and len(text) < 16 else None


def _new_enough(request: Request) -> None:
    """Raises ``AppTooOld``. Only a pull asks: an old app is never kept from handing in (W17)."""
    app = request._request.headers.get("Goodground-App", "")
    if v1.is_older(app, settings.OLDEST_APP):
        raise AppTooOld(app, settings.OLDEST_APP)


def _asked(request: Request) -> pages.Asked:
    query = request._request.GET
    rows = _number(query.get("limit")) or pages.USUAL_ROWS
    kinds = query.get("kinds")
    known = pages.USUAL_KINDS if kinds is None else pages.kinds_of(kinds.split(","))
    return pages.Asked(query.get("since") or None, known, max(1, min(rows, pages.MOST_ROWS)))
