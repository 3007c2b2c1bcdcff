"""The addresses of the pages."""

from django.urls import path

from server.web.views import (
    entry,
    evening_reading,
    field,
    gate_sheets,
    lie_of_the_land,
    mend,
    people,
    phones,
    reckoner,
    registers,
    sign_in,
    the_farm,
    towns,
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
    path(f"{FARM}entry/<uuid:entry>/correct/", mend.correct, name="correct"),
    path(f"{FARM}entry/<uuid:entry>/strike/", mend.strike, name="strike"),
    path(f"{FARM}field/<uuid:field>/leg/", mend.set_leg, name="set_leg"),
    path(f"{FARM}round/<uuid:round>/", entry.walked_round, name="round"),
    path(f"{FARM}gate/", gate_sheets.gate_sheets, name="gate_sheets"),
    path(f"{FARM}reckoner/", reckoner.reckoner, name="reckoner"),
    path(f"{FARM}reckoner/<slug:computation>/", reckoner.computation, name="computation"),
    path(f"{FARM}registers/", registers.registers, name="registers"),
    path(f"{FARM}registers/<slug:name>/", registers.register, name="register"),
    path(f"{FARM}registers/<slug:name>.csv", registers.register_csv, name="register_csv"),
    path(f"{FARM}the-farm/", the_farm.the_farm, name="the_farm"),
    path(f"{FARM}the-farm/days/", the_farm.settings, name="settings"),
    path(f"{FARM}the-farm/sheets/", the_farm.sheets, name="sheets"),
    path(f"{FARM}the-farm/towns/", towns.towns, name="towns"),
    path(f"{FARM}the-farm/password/", people.password, name="password"),
    path(f"{FARM}the-farm/people/", people.people, name="people"),
    path(f"{FARM}the-farm/people/<uuid:person>/", people.person, name="person"),
    path(f"{FARM}the-farm/people/<uuid:person>/link/", people.sign_in_link, name="sign_in_link"),
    path(f"{FARM}the-farm/people/<uuid:person>/leave/", people.retire, name="retire"),
    path(f"{FARM}the-farm/phones/", phones.phones, name="phones"),
    path(f"{FARM}the-farm/phones/slip/", phones.joining_slip, name="joining_slip"),
    path(f"{FARM}the-farm/phones/<uuid:phone>/stop/", phones.stop_phone, name="stop_phone"),
]
