"""Addresses: the contract with the phones, and the manager's pages."""

from django.urls import include, path

urlpatterns = [
    path("api/v1/", include("server.api.v1.urls")),
    path("", include("server.web.urls")),
]

handler404 = "server.web.views.faults.no_such_page"
handler500 = "server.web.views.faults.fault"
