"""A station service that answers in the GHCN-Daily form. Off unless its address is set; nothing else is ever asked."""

from __future__ import annotations

import os
import urllib.error
import urllib.request
from dataclasses import dataclass
from datetime import date
from urllib.parse import quote

from server.weather.ghcn import MOST_BYTES
from shared.errors import GoodgroundError

ADDRESS, STATION = "GOODGROUND_WEATHER_ADDRESS", "GOODGROUND_WEATHER_STATION"
LONGEST_S = 30


class NoWeatherService(GoodgroundError):
    """No service is set: the farm has not asked for one."""

    code = "no_weather_service"


class WeatherNotFetched(GoodgroundError):
    """The service did not answer, or not with what was asked for."""

    code = "weather_not_fetched"

    def __init__(self, why: str) -> None:
        self.why = why
        super().__init__(why)


@dataclass(frozen=True, slots=True)
class Service:
    """``address`` has places for ``{station}``, ``{first}`` and ``{last}``."""

    address: str
    station: str

    def asked(self, first: date, last: date) -> str:
        places = {
            "{station}": quote(self.station, safe=""),
            "{first}": first.isoformat(),
            "{last}": last.isoformat(),
        }
        out = self.address
        for place, value in places.items():
            out = out.replace(place, value)
        return out


def configured() -> Service:
    """The service that is set. Raises ``NoWeatherService``."""
    address, station = os.environ.get(ADDRESS, ""), os.environ.get(STATION, "")
    if not address.startswith(("http://", "https://")) or not station:
        raise NoWeatherService
    return Service(address, station)


def fetched(service: Service, first: date, last: date) -> str:
    """What the service says of these days. Raises ``WeatherNotFetched``."""
    try:
        with urllib.request.urlopen(service.asked(first, last), timeout=LONGEST_S) as answer:
            content = answer.read(MOST_BYTES + 1)
        if len(content) > MOST_BYTES:
            raise WeatherNotFetched("too long")
        return str(content.decode("utf-8"))
    except (urllib.error.URLError, OSError, UnicodeDecodeError) as error:
        raise WeatherNotFetched(str(error)[:200]) from None
