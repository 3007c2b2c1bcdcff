"""The addresses of the pages."""

from django.urls import path

from server.web.views import evening_reading, field, lie_of_the_land, registers, sign_in

urlpatterns = [
    path("", sign_in.first, name="first"),
    path("sign-in/", sign_in.sign_in, name="sign_in"),
    path("sign-in/<str:token>/", sign_in.by_link, name="sign_in_by_link"),
    path("sign-out/", sign_in.sign_out, name="sign_out"),
    path("farm/<uuid:farm>/", lie_of_the_land.lie_of_the_land, name="lie_of_the_land"),
    path("farm/<uuid:farm>/field/<uuid:field>/", field.field, name="field"),
    path("farm/<uuid:farm>/evening/", evening_reading.evening_reading, name="evening_reading"),
    path("farm/<uuid:farm>/evening/rest/", evening_reading.initial_the_rest, name="initial_the_rest"),
    path("farm/<uuid:farm>/entry/<uuid:entry>/", evening_reading.entry, name="entry"),
    path("farm/<uuid:farm>/entry/<uuid:entry>/mark/", evening_reading.mark, name="mark"),
    path("farm/<uuid:farm>/registers/", registers.registers, name="registers"),
    path("farm/<uuid:farm>/registers/<slug:name>/", registers.register, name="register"),
    path("farm/<uuid:farm>/registers/<slug:name>.csv", registers.register_csv, name="register_csv"),
]
