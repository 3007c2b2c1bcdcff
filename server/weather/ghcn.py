"""Files in the GHCN-Daily form, read into days: a line an element (station, day, element, value, flags), or a line a
day with TMIN, TMAX and PRCP as columns.

Values are tenths of a degree Celsius and tenths of a millimetre; a value with a quality flag failed a check there and
is left out (GHCN-Daily's own readme, NOAA NCEI, as read in 2026; the figures of the form are from memory).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import ROUND_HALF_EVEN, Decimal, InvalidOperation

from shared.errors import GoodgroundError
from shared.words.bodies.told import Weather

MOST_BYTES = 4 * 1024 * 1024
MOST_DAYS = 4_000
TENTH, HUNDREDTH = Decimal("0.1"), Decimal("0.01")
MM_PER_IN = Decimal("25.4")
KEYS = {"TMIN": "low_f", "TMAX": "high_f", "PRCP": "rain_in"}
SPANS = {"low_f": (-60, 130), "high_f": (-60, 130), "rain_in": (0, 30)}


class BadWeatherFile(GoodgroundError):
    """A file that is not in the form: at which line, and what stands there."""

    code = "bad_weather_file"

    def __init__(self, line: int, found: str) -> None:
        self.line = line
        self.found = found
        super().__init__(line, found)


@dataclass(frozen=True, slots=True)
class Figure:
    station: str
    on: date
    key: str
    value: Decimal


def days(text: str) -> list[Weather]:
    """Each day with its low, high and rain, in order. Raises ``BadWeatherFile``."""
    if len(text) > MOST_BYTES or "\x00" in text:
        raise BadWeatherFile(1, "")
    try:
        rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff")), strict=True))
    except csv.Error as error:
        raise BadWeatherFile(1, str(error)[:60]) from None
    numbered = [(number, [cell.strip() for cell in row]) for number, row in enumerate(rows, 1) if any(row)]
    if not numbered:
        raise BadWeatherFile(1, "")
    titles = [cell.upper() for cell in numbered[0][1]]
    found = _by_column(numbered[1:], titles) if "DATE" in titles else _by_line(numbered)
    return _gathered(found)


def _by_line(rows: Iterable[tuple[int, list[str]]]) -> list[Figure]:
    out = []
    for number, row in rows:
        if len(row) < 4:
            raise BadWeatherFile(number, ",".join(row)[:60])
        station, day, element, value = row[:4]
        on = _day(number, day)
        if element not in KEYS or (len(row) > 5 and row[5]):
            continue
        out.append(Figure(station, on, KEYS[element], _value(number, element, value)))
    return out


def _by_column(rows: Iterable[tuple[int, list[str]]], titles: list[str]) -> list[Figure]:
    if not set(titles) & set(KEYS):
        raise BadWeatherFile(1, ",".join(titles)[:60])
    out = []
    for number, row in rows:
        cells = dict(zip(titles, row, strict=False))
        on = _day(number, cells.get("DATE", ""))
        for element in KEYS:
            value, flags = cells.get(element, ""), cells.get(f"{element}_ATTRIBUTES", "").split(",")
            if value and not (len(flags) > 1 and flags[1].strip()):
                told = _value(number, element, value)
                out.append(Figure(cells.get("STATION", ""), on, KEYS[element], told))
    return out


def _day(line: int, text: str) -> date:
    for form in ("%Y%m%d", "%Y-%m-%d"):
        try:
            return datetime.strptime(text, form).date()
        except ValueError:
            continue
    raise BadWeatherFile(line, text[:60])


def _value(line: int, element: str, text: str) -> Decimal:
    """In degrees Fahrenheit or inches. A figure that no weather has is a file in other units."""
    try:
        tenths = Decimal(text)
    except InvalidOperation:
        raise BadWeatherFile(line, text[:60]) from None
    if not tenths.is_finite() or abs(tenths) > 100_000:
        raise BadWeatherFile(line, text[:60])
    if element == "PRCP":
        value = (tenths / 10 / MM_PER_IN).quantize(HUNDREDTH, ROUND_HALF_EVEN)
    else:
        value = (tenths / 10 * 9 / 5 + 32).quantize(TENTH, ROUND_HALF_EVEN)
    low, high = SPANS[KEYS[element]]
    if not low <= value <= high:
        raise BadWeatherFile(line, text[:60])
    return value


def _gathered(figures: Iterable[Figure]) -> list[Weather]:
    by: dict[tuple[date, str], dict[str, Decimal]] = {}
    for one in figures:
        by.setdefault((one.on, one.station), {})[one.key] = one.value
    if len(by) > MOST_DAYS:
        raise BadWeatherFile(MOST_DAYS, "")
    return [_weather(on, station, told) for (on, station), told in sorted(by.items())]


def _weather(on: date, station: str, told: Mapping[str, Decimal]) -> Weather:
    return Weather(on, told.get("low_f"), told.get("high_f"), told.get("rain_in"), station[:60] or None)
