"""Every error as RFC 9457 writes it, with a stable code and a sentence in the person's language (contract)."""

from __future__ import annotations

import json
import logging
from collections.abc import Mapping
from typing import Any

from django.db import OperationalError
from django.http import Http404, HttpRequest, HttpResponse
from rest_framework import exceptions

from server.people import errors as people
from server.photos import errors as photos
from shared import errors
from shared.errors import GoodgroundError
from shared.languages import LANGUAGES, say
from shared.wire.pull import Problem, problem_tree

CONTENT_TYPE = "application/problem+json; charset=utf-8"
BUSY_WAIT_S = 5
log = logging.getLogger(__name__)

STATUS: Mapping[type[GoodgroundError], int] = {
    errors.BadFrame: 400,
    errors.Unsound: 400,
    errors.TooLarge: 413,
    errors.Fork: 409,
    errors.Gap: 409,
    errors.Diverged: 409,
    errors.StartOver: 410,
    errors.AppTooOld: 403,
    people.TokenUnknown: 401,
    people.PhoneStopped: 401,
    people.CodeUnknown: 404,
    people.CodeUsed: 409,
    people.TooManyTries: 429,
    photos.BadUpload: 400,
    photos.PhotoUnknown: 404,
    photos.WrongOffset: 409,
    photos.PhotoTooLarge: 413,
    photos.PhotoQuota: 413,
    photos.NotAPicture: 415,
    photos.WrongHash: 460,
}
STATUS_OF_CODE = {"wrong_tus": 412}
FRAMEWORK: Mapping[type[Exception], tuple[int, str]] = {
    Http404: (404, "not_here"),
    exceptions.NotFound: (404, "not_here"),
    exceptions.MethodNotAllowed: (405, "not_that_way"),
    exceptions.NotAcceptable: (406, "not_that_form"),
    exceptions.UnsupportedMediaType: (415, "not_that_form"),
}


def language_of(request: HttpRequest) -> str:
    """The language that the person who holds the phone asks for; English where it is none of ours."""
    wanted = []
    for place, one in enumerate(request.META.get("HTTP_ACCEPT_LANGUAGE", "").split(",")[:20]):
        tag, _, weight = one.strip().partition(";q=")
        try:
            wanted.append((-float(weight or 1), place, tag[:2].lower()))
        except ValueError:
            continue
    return next((tag for _, _, tag in sorted(wanted) if tag in LANGUAGES), "en")


def problem(
    request: HttpRequest, status: int, code: str, facts: Mapping[str, Any] | None = None, **more: Any
) -> HttpResponse:
    """A problem as an answer. ``facts`` go into the sentence, ``more`` are further members."""
    language = language_of(request)
    title = say(language, f"refusals.{code}.title")
    detail = say(language, f"refusals.{code}.detail", **(facts or {}))
    body = json.dumps(problem_tree(Problem(code, title, status, detail, more)), ensure_ascii=False)
    answer = HttpResponse(body.encode(), status=status, content_type=CONTENT_TYPE)
    answer["Content-Language"] = language
    answer["Cache-Control"] = "no-store"
    return answer


def answer(error: Exception, context: Mapping[str, Any]) -> HttpResponse:
    """The exception handler of the REST framework. What nobody foresaw is logged, and told as no more than that."""
    request = context["request"]._request
    if isinstance(error, GoodgroundError) and _status(error) is not None:
        return _foreseen(request, error, context)
    if isinstance(error, OperationalError):
        log.warning("the book is busy: %s", error)
        busy = problem(request, 503, "busy")
        busy["Retry-After"] = str(BUSY_WAIT_S)
        return busy
    for kind, (status, code) in FRAMEWORK.items():
        if isinstance(error, kind):
            return problem(request, status, code)
    log.error("unforeseen at %s %s", request.method, request.path, exc_info=error)
    return problem(request, 500, "server_error")


def _status(error: GoodgroundError) -> int | None:
    return STATUS_OF_CODE.get(error.code) or STATUS.get(type(error))


def _foreseen(request: HttpRequest, error: GoodgroundError, context: Mapping[str, Any]) -> HttpResponse:
    more = {"expect": error.expect} if isinstance(error, errors.Gap) else {}
    out = problem(request, _status(error) or 500, error.code, error.facts(), **more)
    if out.status_code == 401:
        out["WWW-Authenticate"] = 'Bearer realm="goodground"'
    if isinstance(error, photos.WrongOffset):
        out["Upload-Offset"] = str(error.offset)
    if isinstance(error, people.TooManyTries):
        out["Retry-After"] = str(error.wait_s)
    return out
