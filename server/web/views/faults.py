"""What stands in the place of a page: none under this address, a form that is too old, a fault of ours."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

from server.web.desk import browser_language, told


def no_such_page(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return told(request, "no_such_page", 404)


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    return told(request, "stale_form", 403)


def fault(request: HttpRequest) -> HttpResponse:
    """Told without asking the database anything: it may be what broke."""
    facts: dict[str, Any] = {"code": "fault", "facts": {}, "language": browser_language(request)}
    return HttpResponse(render_to_string("web/told.html", facts), status=500)
