"""The addresses of the evening's seal, the office's papers and writing at the desk."""

from __future__ import annotations

from django.urls import path

from server.web.views import (
    entry,
    evening_reading,
    keeping,
    papers,
    printings,
    programs,
    registers,
    samples,
    second_step,
    weather,
    writing,
)

FARM = "farm/<uuid:farm>/"

urlpatterns = [
    path(f"{FARM}evening/seal/", evening_reading.seal_day, name="seal_day"),
    path(f"{FARM}evening/write/", writing.write, name="write"),
    path(f"{FARM}evening/write/<slug:kind>/", writing.write_kind, name="write_kind"),
    path(f"{FARM}entry/<uuid:entry>/answer/", entry.answer, name="answer"),
    path(f"{FARM}registers/printings/<int:printing>/", printings.printing, name="printing"),
    path(f"{FARM}registers/printings/<int:printing>/pdf/", printings.printing_file, name="printing_file"),
    path(f"{FARM}registers/<slug:name>/print/", printings.ask_printing, name="ask_printing"),
    path("shown/<str:token>/printing/<int:printing>/", printings.shown_printing, name="shown_printing"),
    path(
        "shown/<str:token>/printing/<int:printing>/pdf/",
        printings.shown_printing_file,
        name="shown_printing_file",
    ),
    path("shown/<str:token>/<slug:name>/print/", printings.shown_ask_printing, name="shown_ask_printing"),
    path(f"{FARM}registers/bundle/", registers.register_bundle, name="register_bundle"),
    path(f"{FARM}the-farm/samples/", samples.samples, name="samples"),
    path(f"{FARM}the-farm/samples/file/", samples.results_csv, name="results_csv"),
    path(f"{FARM}the-farm/weather/", weather.weather, name="weather"),
    path(f"{FARM}the-farm/papers/", papers.all_papers, name="papers"),
    path(f"{FARM}the-farm/papers/<uuid:entry>/right/", papers.cured, name="cured"),
    path(f"{FARM}evening/jobs/", papers.jobs, name="jobs"),
    path(f"{FARM}the-farm/file/", keeping.farm_file, name="farm_file"),
    path(f"{FARM}the-farm/second-step/", second_step.second_step, name="second_step"),
    path(f"{FARM}the-farm/programs/", programs.programs, name="programs"),
    path(f"{FARM}the-farm/programs/<int:link>/stop/", programs.stop_program, name="stop_program"),
]
