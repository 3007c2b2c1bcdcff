"""The addresses of the evening's seal, the office's papers and writing at the desk; each page with the head's page
that it stands under."""

from __future__ import annotations

from django.urls import path

from server.web.views import entry, evening_reading

FARM = "farm/<uuid:farm>/"

urlpatterns = [
    path(f"{FARM}evening/seal/", evening_reading.seal_day, name="seal_day"),
    path(f"{FARM}entry/<uuid:entry>/answer/", entry.answer, name="answer"),
]
