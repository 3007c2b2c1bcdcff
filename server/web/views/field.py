"""One field: where it stands, its ribbon, its room, its plots over years, what was written of it."""

from __future__ import annotations

from uuid import UUID

from django.db.models import Q
from django.http import HttpRequest, HttpResponse

from server.book import reads as book
from server.land import reads as land
from server.reading import reads as reading
from server.status import reads as status
from server.status.holdings import ground_of
from server.status.models import FieldYear, Touch
from server.web.desk import Desk, page, shown, told
from server.web.entries import Told, told_all
from server.web.laboratory_plots import laboratory_plots
from server.web.leaf_plots import leaf_plots
from server.web.lie import FieldLine, plan_of
from server.web.map_data import land_map, stops
from server.web.measures import Drawing, plots_of
from server.web.ribbons import ribbon, scale
from server.web.room import rooms_of
from server.web.stories import stories
from server.web.too_near import warned
from shared.status.field_status import FieldStatus
from shared.status.field_year import FieldYear as YearValue
from shared.words.leg import LEGS

ENTRIES_SHOWN = 60


@page()
def field(request: HttpRequest, desk: Desk, field: UUID) -> HttpResponse:
    one = land.field(desk.farm.id, field)
    before = request.GET.get("before", "")
    if one is None or (before and not before.isdecimal()):
        return told(request, "no_such_field", 404)
    tree = status.standing(desk.farm.id, field)
    stands = FieldStatus.from_tree(tree) if tree else FieldStatus(field)
    on = scale(desk.today)
    places = ground_of(desk.farm.id).places_of(field)
    told_page, older = _entries(desk, places, int(before) if before else None)
    warning = warned(desk, field, places)
    given = rooms_of(desk, only=field)
    room = next(iter(given.fields), None)
    came_of = land.came_of(desk.farm.id)
    named = {each.id: each for each in land.fields(desk.farm.id, retired=True)}
    leg = stands.leg_on(desk.today)
    drawn = [
        FieldLine(each, None, 0, False, leg if each.id == field else None, [])
        for each in named.values()
        if each.id == field or not each.retired
    ]
    return shown(
        request,
        desk,
        "field",
        field=one,
        stands=stands,
        leg=leg,
        legs=LEGS,
        told_legs=stands.legs[::-1],
        dues=status.dues(desk.farm.id, field),
        scale=on,
        spans=ribbon(stands.legs, plan_of(desk.farm.id, field), on),
        room=room,
        plots=[
            *_plots(desk, stands, room.left.cap_in if room else None),
            *leaf_plots(desk, one, stands, given.factor.factor if given.factor else None),
        ],
        warned=warning,
        map=land_map(desk, drawn, field, stops(desk, told_page, warning)) if one.outline else None,
        came_of=[named[each] for each in came_of.get(field, ()) if each in named],
        became=[named[each] for each, before in came_of.items() if field in before and each in named],
        stories=stories(desk, told_page, fold_loads=True),
        older=older,
        newest=not before,
    )


def _plots(desk: Desk, stands: FieldStatus, cap_in: float | None) -> list[Drawing]:
    found = FieldYear.objects.filter(farm_id=desk.farm.id, field=stands.field).order_by("year")
    years = [YearValue.from_tree(row.gathered) for row in found]
    return [*plots_of(desk, stands, years, cap_in), *laboratory_plots(desk, stands.field)]


def _entries(desk: Desk, places: set[UUID], before: int | None) -> tuple[list[Told], int | None]:
    """The newest of what speaks of the field (loads sent there too) before a book number, and the number to go on
    from, None at the end."""
    touched = Touch.objects.filter(farm_id=desk.farm.id, place__in=places).values("row")
    found = book.looked_up(desk.farm.id).filter(Q(field__in=places) | Q(number__in=touched))
    found = found.exclude(entry=None).exclude(kind__in=reading.NOT_READ)
    rows = list(
        (found.filter(number__lt=before) if before else found).order_by("-number")[: ENTRIES_SHOWN + 1]
    )
    page, more = rows[:ENTRIES_SHOWN], len(rows) > ENTRIES_SHOWN
    told_page = told_all(desk, reading.all_read(desk.farm, page))
    return told_page, page[-1].number if more else None
