"""One field: where it stands, its ribbon, its covers over time, what was written of it."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest, HttpResponse

from server.book import reads as book
from server.land import reads as land
from server.reading import reads as reading
from server.status import reads as status
from server.status.models import FieldYear
from server.web.desk import Desk, page, shown, told
from server.web.entries import told_all
from server.web.lie import plan_of
from server.web.plots import Plot, plot
from server.web.ribbons import ribbon, scale
from shared.reckoning.mowing import MOW_AT_IN
from shared.status.field_status import FieldStatus
from shared.status.field_year import FieldYear as YearValue
from shared.status.rounds import cover_round

ENTRIES_SHOWN = 60


@page()
def field(request: HttpRequest, desk: Desk, field: UUID) -> HttpResponse:
    one = land.field(desk.farm.id, field)
    if one is None:
        return told(request, "no_such_field", 404)
    tree = status.standing(desk.farm.id, field)
    stands = FieldStatus.from_tree(tree) if tree else FieldStatus(field)
    on = scale(desk.today)
    rows = list(book.of_field(desk.farm.id, field).exclude(entry=None).order_by("-number")[:ENTRIES_SHOWN])
    return shown(
        request,
        desk,
        "field",
        field=one,
        stands=stands,
        leg=stands.leg_on(desk.today),
        dues=status.dues(desk.farm.id, field),
        scale=on,
        spans=ribbon(stands.legs, plan_of(desk.farm.id, field), on),
        covers=_covers(desk, field),
        entries=told_all(desk, reading.all_read(desk.farm, rows)),
    )


def _covers(desk: Desk, field: UUID) -> Plot | None:
    """The mean height of each cover round with its 90 % interval, against the height to mow at."""
    years = FieldYear.objects.filter(farm_id=desk.farm.id, field=field).order_by("year")
    measured = []
    for walked in (each for row in years for each in YearValue.from_tree(row.gathered).rounds):
        told_round = cover_round(walked)
        if told_round is not None:
            measured.append((told_round.on, told_round.mean_in, told_round.low_in, told_round.high_in))
    return plot(sorted(measured), level=MOW_AT_IN.value, least_top=MOW_AT_IN.value)
