"""Phones ask often and mostly hear that nothing is new: that answer carries nothing that only browsers use."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

FOR_BROWSERS = (
    *("X-Frame-Options", "X-Content-Type-Options", "Referrer-Policy", "Cross-Origin-Opener-Policy"),
    *("Allow", "Content-Length"),
)


class Trimmed:
    """The outermost middleware: a 304 to a phone stays under 300 bytes (contract, W12)."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        answer = self.get_response(request)
        if answer.status_code == 304 and request.path.startswith("/api/"):
            for name in FOR_BROWSERS:
                if name in answer:
                    del answer[name]
        return answer
