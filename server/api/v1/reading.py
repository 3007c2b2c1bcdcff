"""What a program of the farm's own reads by its token: how the fields stand, and the registers. It writes nothing."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.http import Http404, HttpResponse, JsonResponse
from drf_spectacular.utils import extend_schema
from rest_framework.authentication import BaseAuthentication
from rest_framework.request import Request
from rest_framework.views import APIView

from server.api.v1 import describing
from server.land import reads as land
from server.people.clock import now
from server.people.errors import TokenUnknown
from server.registers import programs, reads
from server.registers.models import ProgramToken
from server.status import reads as status
from server.status.following import followed
from shared.status.registers import REGISTERS, Register, row_values, written_row
from shared.wire.codec import written


class ByProgram(BaseAuthentication):
    """``Authorization: Bearer gg_read_…``."""

    def authenticate(self, request: Request) -> tuple[ProgramToken, None]:
        scheme, _, token = request.META.get("HTTP_AUTHORIZATION", "").partition(" ")
        if scheme.lower() != "bearer" or not token.startswith(programs.BEGINS):
            raise TokenUnknown
        return programs.program_of(token.strip(), now()), None

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="goodground"'


class Reading(APIView):
    """``self.program`` is the token that asks; what follows from the book is brought up to its last number."""

    authentication_classes = (ByProgram,)
    program: ProgramToken

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        self.program = request.user  # type: ignore[assignment]
        followed(self.program.farm_id, now())


def _told(tree: Any) -> HttpResponse:
    out = JsonResponse(tree)
    out["Cache-Control"] = "no-store"
    return out


class FieldsView(Reading):
    @extend_schema(**describing.FIELDS)
    def get(self, request: Request) -> HttpResponse:
        standings = status.standings(self.program.farm_id)
        fields = [
            {key: value for key, value in written(one).items() if key != "outline"}
            | {"standing": standings.get(one.id)}
            for one in land.fields(self.program.farm_id)
        ]
        return _told({"farm": self.program.farm.name, "number": self.program.farm.number, "fields": fields})


class RegistersView(Reading):
    @extend_schema(**describing.REGISTERS)
    def get(self, request: Request) -> HttpResponse:
        told = [
            {"name": one.name, "title": one.title("en"), "columns": one.columns} for one in REGISTERS.values()
        ]
        return _told({"registers": told})


class RegisterView(Reading):
    @extend_schema(**describing.REGISTER)
    def get(self, request: Request, name: str) -> HttpResponse:
        one, query = reads.register_named(name), request._request.GET
        today = now().date()
        if one is None:
            raise Http404
        try:
            first = date.fromisoformat(query.get("first") or f"{today.year}-01-01")
            last = date.fromisoformat(query.get("last") or today.isoformat())
        except ValueError:
            raise Http404 from None
        names = reads.names(self.program.farm)
        rows = reads.rows(self.program.farm, one, first, last)
        lines = [_line(one, row, names) for row in rows]
        return _told({"name": one.name, "first": str(first), "last": str(last), "lines": lines})


def _line(register: Register, row: Any, names: Any) -> dict[str, Any]:
    """A line by its columns: figures and days as such, all else in words."""
    words = written_row(register, row, "en", names)
    values = row_values(register, row)
    line = {
        key: value if isinstance(value, int) or value is None else (str(value) if _is_plain(value) else word)
        for key, value, word in zip(register.columns, values, words, strict=True)
    }
    return line | {
        "entry": str(row.entry) if hasattr(row, "entry") else None,
        "struck": getattr(row, "struck", False),
    }


def _is_plain(value: Any) -> bool:
    return type(value).__name__ in ("Decimal", "date", "time")
