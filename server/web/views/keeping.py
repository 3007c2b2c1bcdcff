"""All that the farm owns, in one file to take away."""

from __future__ import annotations

from django.http import FileResponse, HttpRequest, HttpResponse

from server.registers.whole_farm import whole_farm
from server.web.desk import Desk, page, shown


@page(("owner",), methods=("GET", "HEAD", "POST"))
def farm_file(request: HttpRequest, desk: Desk) -> HttpResponse | FileResponse:
    """The page says what is in it; its button makes it."""
    if request.method != "POST":
        return shown(request, desk, "farm_file", under="the_farm")
    made = whole_farm(desk.farm, desk.language)
    return FileResponse(made, as_attachment=True, filename=f"farm-{desk.today}.zip")
