"""What all endpoints share: the phone, the headers that every answer carries, problems as answers."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from rest_framework.request import Request
from rest_framework.views import APIView

from server.people.clock import now
from server.people.errors import TokenUnknown
from server.people.models import Phone
from shared.wire.scalars import written_moment

HEARD_AGAIN = timedelta(minutes=10)
"""A phone that asks every few seconds is not written down each time."""

LONGEST_APP = 40


class Endpoint(APIView):
    """``self.phone`` is the phone that calls, None where none is asked for. ``self.line`` and ``self.head`` are
    how far its lines stand once the request is done."""

    phone: Phone | None = None
    is_open = False
    """Whether anybody may call without a token."""

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        self.phone = request.user if isinstance(request.user, Phone) else None
        if self.phone is None and not self.is_open:
            raise TokenUnknown
        if self.phone is not None:
            _heard(self.phone, request._request)

    def finalize_response(self, request: Request, response: Any, *args: Any, **kwargs: Any) -> Any:
        response = super().finalize_response(request, response, *args, **kwargs)
        response["Goodground-Time"] = written_moment(now())
        if self.phone is not None:
            response["Goodground-Line"] = f"{self.phone.line} {self.phone.head[:16]}"
        return response


def _heard(phone: Phone, request: HttpRequest) -> None:
    """Write down that a phone was heard, by which version of the app, and how many entries it says still wait."""
    at = now()
    waits = request.headers.get("Goodground-Waiting", "")
    count = int(waits) if waits.isdecimal() and len(waits) < 9 else None
    told: dict[str, Any] = {"seen_at": at}
    if count is not None and count != phone.waits:
        told |= {"waits": count, "waits_at": at}
    elif phone.seen_at is not None and at - phone.seen_at < HEARD_AGAIN:
        return
    if app := request.headers.get("Goodground-App", ""):
        told["app"] = app[:LONGEST_APP]
    Phone.objects.filter(id=phone.id).update(**told)


def as_json(body: bytes, status: int = 200) -> HttpResponse:
    """An answer that is JSON already, for this phone alone."""
    out = HttpResponse(body, status=status, content_type="application/json")
    out["Cache-Control"] = "no-store"
    return out
