"""Who calls: a phone by its token. With ``authenticate_header``, or a 401 would turn into a 403."""

from __future__ import annotations

from rest_framework.authentication import BaseAuthentication
from rest_framework.request import Request

from server.people.errors import TokenUnknown
from server.people.models import Phone
from server.people.tokens import phone_of


class PhoneToken(BaseAuthentication):
    """``Authorization: Bearer TOKEN``. The phone comes with its farm, in one query."""

    def authenticate(self, request: Request) -> tuple[Phone, None]:
        scheme, _, token = request.META.get("HTTP_AUTHORIZATION", "").partition(" ")
        if scheme.lower() != "bearer" or not token:
            raise TokenUnknown
        return phone_of(token.strip()), None

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="goodground"'
