"""The addresses of the pages."""

from django.urls import path

from server.web.views import (
    entry,
    evening_reading,
    field,
    gate_sheets,
    lie_of_the_land,
    reckoner,
    registers,
    sign_in,
)

FARM = "farm/<uuid:farm>/"

urlpatterns = [
    path("", sign_in.first, name="first"),
    path("sign-in/", sign_in.sign_in, name="sign_in"),
    path("sign-in/<str:token>/", sign_in.by_link, name="sign_in_by_link"),
    path("sign-out/", sign_in.sign_out, name="sign_out"),
    path(FARM, lie_of_the_land.lie_of_the_land, name="lie_of_the_land"),
    path(f"{FARM}field/<uuid:field>/", field.field, name="field"),
    path(f"{FARM}evening/", evening_reading.evening_reading, name="evening_reading"),
    path(f"{FARM}evening/rest/", evening_reading.initial_the_rest, name="initial_the_rest"),
    path(f"{FARM}evening/opened/", entry.initial_opened, name="initial_opened"),
    path(f"{FARM}evening/held/", evening_reading.held, name="held"),
    path(f"{FARM}entry/<uuid:entry>/", entry.entry, name="entry"),
    path(f"{FARM}entry/<uuid:entry>/mark/", entry.mark, name="mark"),
    path(f"{FARM}round/<uuid:round>/", entry.walked_round, name="round"),
    path(f"{FARM}gate/", gate_sheets.gate_sheets, name="gate_sheets"),
    path(f"{FARM}reckoner/", reckoner.reckoner, name="reckoner"),
    path(f"{FARM}reckoner/<slug:computation>/", reckoner.computation, name="computation"),
    path(f"{FARM}registers/", registers.registers, name="registers"),
    path(f"{FARM}registers/<slug:name>/", registers.register, name="register"),
    path(f"{FARM}registers/<slug:name>.csv", registers.register_csv, name="register_csv"),
]
