"""The reckoner: every computation by name, and one of them as a form that can be kept, shared and printed."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django.http import HttpRequest, HttpResponse

from server.land import reads as land
from server.status import reads as status
from server.web.desk import Desk, page, shown, told
from server.web.reckoning import of_field
from server.web.room import rooms
from shared.languages import say
from shared.reckoning.computation import Computation
from shared.reckoning.in_words import Sheet, asks_of_fields, reckoned
from shared.reckoning.table import RECKONER
from shared.status.field_status import FieldStatus

OWN = ("units", "field")
"""What the form asks beside the inputs."""
MOST_TYPED = 20_000


@page()
def reckoner(request: HttpRequest, desk: Desk) -> HttpResponse:
    """Every computation with its title and what it is for, by subject."""
    subjects: dict[str, list[tuple[str, str, str]]] = {}
    for name, one in RECKONER.items():
        subject = one.run.__module__.rsplit(".", 1)[-1]
        words = (say(desk.language, f"reckoner.{name}.title"), say(desk.language, f"reckoner.{name}.help"))
        subjects.setdefault(subject, []).append((name, *words))
    named = [(say(desk.language, f"pages.reckoner.subject.{key}"), found) for key, found in subjects.items()]
    return shown(request, desk, "reckoner", subjects=named)


@page()
def computation(request: HttpRequest, desk: Desk, computation: str) -> HttpResponse:
    one = RECKONER.get(computation)
    if one is None:
        return told(request, "no_such_computation", 404)
    asked = {name: text[:MOST_TYPED] for name, text in request.GET.items()}
    sheet = Sheet(desk.language, asked.get("units", _own(desk)) == "metric")
    typed = {name: text for name, text in asked.items() if name not in OWN}
    filled = _of_field(desk, one, asked.get("field", ""), sheet) if not any(typed.values()) else {}
    return shown(
        request,
        desk,
        "computation",
        computation=computation,
        one=one,
        title=say(desk.language, f"reckoner.{computation}.title"),
        help=say(desk.language, f"reckoner.{computation}.help"),
        form=reckoned(one, filled or typed, sheet),
        fields=land.fields(desk.farm.id) if asks_of_fields(one) else [],
        field=asked.get("field", ""),
        units="metric" if sheet.in_metric else "us",
    )


def _own(desk: Desk) -> str:
    return "metric" if desk.farm.units == "metric" else "us"


def _of_field(desk: Desk, one: Computation, text: str, sheet: Sheet) -> Mapping[str, str]:
    """The figures of the field that was chosen; none where none was."""
    try:
        field = UUID(text)
    except ValueError:
        return {}
    tree = status.standing(desk.farm.id, field)
    stands = FieldStatus.from_tree(tree) if tree else FieldStatus(field)
    return next((of_field(one, room, stands, sheet) for room in rooms(desk, only=field)), {})
