"""Weather at the desk: typed, from a file in the GHCN-Daily form, fetched from a service that somebody set."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from http.server import BaseHTTPRequestHandler, HTTPServer
from threading import Thread

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from server.ahead.heat import heat_of
from server.config import doing
from server.registers import weather as kept
from server.weather import service
from server.weather.ghcn import BadWeatherFile, days
from shared.languages import say
from shared.words.bodies.reading import Strike
from shared.words.bodies.told import Weather
from tests.server.web.farmyard import Farmyard

LINES = (
    "USX00000001,20260528,TMIN,-22,,,W,0700\nUSX00000001,20260528,TMAX,189,,,W,0700\n"
    "USX00000001,20260528,PRCP,254,,,W,0700\nUSX00000001,20260529,TMIN,9999,,X,W,0700\n"
    "USX00000001,20260529,TMAX,211,,,W,0700\nUSX00000001,20260529,SNOW,0,,,W,0700\n"
)
COLUMNS = 'STATION,DATE,TMIN,TMIN_ATTRIBUTES,TMAX,PRCP\nUSX00000001,2026-05-28,-22,",,W",189,254\n'
FIRST = Weather(date(2026, 5, 28), Decimal("28.0"), Decimal("66.0"), Decimal("1.00"), "USX00000001")


def test_both_forms_of_the_file_say_the_same_and_a_flagged_value_is_left_out():
    assert days(LINES) == [
        *(FIRST, Weather(date(2026, 5, 29), None, Decimal("70.0"), None, "USX00000001")),
    ]
    assert days(COLUMNS) == [FIRST]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("", 1),
        ("DATE,LOW,HIGH\n2026-05-28,28,66\n", 1),
        ("S,20260528,TMIN,-22\nS,spring,TMIN,1\n", 2),
        ("S,20260528,TMAX,cold\n", 1),
        ("STATION,DATE,TMAX\nS,2026-05-28,6600\n", 2),
        ("S,20260528\n", 1),
        ("S,20260528,TMAX,NaN\n", 1),
    ],
)
def test_a_file_of_another_form_or_in_other_units_is_told_with_its_line(text, line):
    with pytest.raises(BadWeatherFile) as told:
        days(text)
    assert told.value.line == line


def test_a_day_is_typed_and_what_can_not_be_is_told(yard: Farmyard, owner: Client):
    form = {"date": "2026-05-30", "low_f": "41", "high_f": "63", "rain_in": ""}
    assert owner.post(yard.page("weather"), form).status_code == 302
    assert list(kept.known(yard.ground.fresh()).values()) == [
        Weather(date(2026, 5, 30), Decimal(41), Decimal(63), None, None)
    ]
    number = yard.ground.fresh().number
    for wrong in ({"low_f": "70"}, {"date": "2026-06-09"}, {"low_f": "", "high_f": ""}, {"high_f": "warm"}):
        assert owner.post(yard.page("weather"), form | wrong).status_code == 400
    assert yard.ground.fresh().number == number


def test_a_file_is_read_once_however_often_it_is_sent(yard: Farmyard, owner: Client):
    for fresh, there in ((2, 0), (0, 2)):
        file = SimpleUploadedFile("w.csv", LINES.encode())
        page = owner.post(yard.page("weather"), {"file": file}, follow=True)
        assert say("en", "weather.done", count=fresh, there=there) in page.content.decode()
    bad = owner.post(yard.page("weather"), {"file": SimpleUploadedFile("w.csv", b"<html>\xff")})
    assert bad.status_code == 400


def test_a_struck_day_counts_nowhere_and_no_file_brings_it_back(yard: Farmyard, owner: Client):
    farm, hand = yard.ground.fresh(), yard.ground.owner
    file = days(LINES)
    kept.keep(farm, hand.id, file, yard.at)
    assert sorted(heat_of(farm.id).units) == [one.date for one in file if None not in (one.low_f, one.high_f)]
    (body, entry), *_ = [
        one for one in kept.told_by(farm).values() if None not in (one[0].low_f, one[0].high_f)
    ]
    yard.write(Strike("weather", "the box stood in the sun"), names=entry, by=hand)
    assert body.date not in heat_of(farm.id).units
    assert kept.keep(farm, hand.id, file, yard.at) == (0, len(file))
    assert (body.date, body.station) not in kept.known(farm)
    assert kept.keep(farm, hand.id, [body], yard.at, paper=True) == (1, 0)
    assert body.date in heat_of(farm.id).units


@pytest.fixture
def station() -> Iterator[tuple[str, list[str]]]:
    asked: list[str] = []

    class Station(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200 if "USX" in self.path else 404)
            self.end_headers()
            self.wfile.write(LINES.encode())

        def log_message(self, *words: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Station)
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/daily?s={{station}}&a={{first}}&z={{last}}", asked
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.fixture
def told(yard: Farmyard, monkeypatch: pytest.MonkeyPatch) -> Namespace:
    monkeypatch.setattr(doing, "laid", lambda: None)
    return Namespace(farm=yard.ground.farm.name, days=14)


def test_the_command_fetches_what_is_missing(yard: Farmyard, told, station, monkeypatch, capsys, now):
    monkeypatch.setattr(doing, "now", now)
    monkeypatch.setenv(service.ADDRESS, station[0])
    monkeypatch.setenv(service.STATION, "USX00000001")
    doing.weather(told)
    doing.weather(told)
    assert station[1] == ["/daily?s=USX00000001&a=2026-05-18&z=2026-06-01"] * 2
    assert [line.split(": ")[1] for line in capsys.readouterr().out.splitlines()] == [
        "2 days written, 0 stood there already",
        "0 days written, 2 stood there already",
    ]


def test_it_is_off_until_it_is_set_and_says_so_where_nobody_answers(told, station, monkeypatch):
    monkeypatch.delenv(service.ADDRESS, raising=False)
    with pytest.raises(service.NoWeatherService):
        doing.weather(told)
    monkeypatch.setenv(service.ADDRESS, station[0])
    monkeypatch.setenv(service.STATION, "elsewhere")
    with pytest.raises(service.WeatherNotFetched):
        doing.weather(told)
    monkeypatch.setenv(service.ADDRESS, "file:///etc/passwd")
    with pytest.raises(service.NoWeatherService):
        doing.weather(told)
