"""The addresses of the pages."""

from django.urls import path

from server.web.views import lie_of_the_land, sign_in

urlpatterns = [
    path("", sign_in.first, name="first"),
    path("sign-in/", sign_in.sign_in, name="sign_in"),
    path("sign-in/<str:token>/", sign_in.by_link, name="sign_in_by_link"),
    path("sign-out/", sign_in.sign_out, name="sign_out"),
    path("farm/<uuid:farm>/", lie_of_the_land.lie_of_the_land, name="lie_of_the_land"),
]
