"""Rows of the four tables as the grower types or pastes them: checked cell by cell, each fault with its line."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Literal, TypeVar

from shared.ahead.fertilizer_tables import LevelWord, LimeProduct, Material, Rate, Tables, plain
from shared.languages import LANGUAGES, say

Table = Literal["rates", "levels", "materials", "limes"]
Shape = Literal["text", "choice", "number", "day", "yes"]
Cells = Mapping[str, str]
MOST_TEXT = 120
MOST_PASTED = 256 * 1024
MOST_ROWS = 500
DAYS = ("%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y")
YES = frozenset(("yes", "y", "x", "1", "true", "sí", "si", "on"))
NO = frozenset(("", "no", "n", "0", "false", "off"))


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: what may stand in it, and what it is where it may be left empty."""

    name: str
    shape: Shape = "text"
    low: float = 0.0
    high: float = 0.0
    choices: tuple[str, ...] = ()
    needed: bool = True
    default: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """What can't be used: its line (1 is the titles of what was pasted; 0 a typed row), its column (empty: the row as
    a whole), the key under ``fertilizer.fault`` that says why, what stood there, and the facts of the sentence."""

    line: int
    column: str
    key: str
    value: str = ""
    facts: tuple[tuple[str, str], ...] = ()


SOURCE = (Column("source"), Column("dated", "day"))
COLUMNS: dict[Table, tuple[Column, ...]] = {
    "rates": (
        Column("crop"),
        Column("nutrient", "choice", choices=("N", "P2O5", "K2O", "pH")),
        Column("amount", "number", high=1000.0),
        Column("lab", needed=False),
        Column("method", needed=False),
        Column("level", needed=False),
        Column("yield_goal", needed=False),
        *SOURCE,
    ),
    "levels": (
        Column("lab"),
        Column("method"),
        Column("nutrient", "choice", choices=("P", "K")),
        Column("unit", "choice", choices=("ppm", "mg/kg", "lb/ac")),
        Column("word"),
        Column("starts_at", "number", high=10_000.0),
        Column("enough", "yes", needed=False),
        *SOURCE,
    ),
    "materials": (
        Column("name"),
        *(
            Column(f"{one}_pct", "number", high=100.0, needed=False, default="0")
            for one in ("n", "p2o5", "k2o")
        ),
        Column("bag_lb", "number", low=1.0, high=4000.0),
        Column("price", "number", high=10_000.0),
        *SOURCE,
    ),
    "limes": (
        Column("name"),
        Column("cce_pct", "number", low=10.0, high=180.0),
        Column("fineness_pct", "number", low=10.0, high=100.0, needed=False, default="100"),
        Column("price", "number", high=10_000.0),
        *SOURCE,
    ),
}
TARGET_PH = (4.0, 7.5)
"""Between which a pH to lime to can be."""


def row_of(table: Table, cells: Cells, line: int = 0) -> tuple[dict[str, str], tuple[Fault, ...]]:
    """The row's values as they are kept, and all that is wrong with it; with a fault nothing of it may be kept."""
    values: dict[str, str] = {}
    faults: list[Fault] = []
    for column in COLUMNS[table]:
        text = " ".join(cells.get(column.name, "").split())
        found = _cell(column, text)
        if isinstance(found, Fault):
            faults.append(Fault(line, found.column, found.key, text[:40], found.facts))
        else:
            values[column.name] = found
    if not faults:
        faults += [Fault(line, one.column, one.key, one.value, one.facts) for one in _together(table, values)]
    return values, tuple(faults)


def _cell(column: Column, text: str) -> str | Fault:
    if not text and column.shape != "yes":
        return Fault(0, column.name, "missing") if column.needed else column.default
    if len(text) > MOST_TEXT or "\x00" in text:
        return Fault(0, column.name, "too_long", facts=(("most", str(MOST_TEXT)),))
    return _READ[column.shape](column, text)


def _choice(column: Column, text: str) -> str | Fault:
    found = next((one for one in column.choices if one.lower() == text.lower()), None)
    return found or Fault(0, column.name, "choice", facts=(("choices", ", ".join(column.choices)),))


def _number(column: Column, text: str) -> str | Fault:
    try:
        number = float(text.replace(",", "").removeprefix("$").removesuffix("%")) if "_" not in text else None
    except ValueError:
        number = None
    if number is None or number != number:
        return Fault(0, column.name, "number")
    if not column.low <= number <= column.high:
        return _range(column.name, column.low, column.high)
    return f"{number:.12g}"


def _range(name: str, low: float, high: float) -> Fault:
    return Fault(0, name, "range", facts=(("low", f"{low:g}"), ("high", f"{high:g}")))


def _day(column: Column, text: str) -> str | Fault:
    for form in DAYS:
        try:
            found = datetime.strptime(text, form).date()
        except ValueError:
            continue
        if 1950 <= found.year <= 2200:
            return found.isoformat()
    return Fault(0, column.name, "day")


def _yes(column: Column, text: str) -> str | Fault:
    if text.lower() in YES:
        return "yes"
    return "" if text.lower() in NO else Fault(0, column.name, "yes_no")


_READ: dict[Shape, Callable[[Column, str], str | Fault]] = {
    "text": lambda column, text: text,
    "choice": _choice,
    "number": _number,
    "day": _day,
    "yes": _yes,
}


def _together(table: Table, values: Cells) -> Sequence[Fault]:
    """What is wrong with cells that are each right."""
    if table == "rates":
        return _rate_faults(values)
    if table == "materials":
        held = sum(float(values[f"{one}_pct"]) for one in ("n", "p2o5", "k2o"))
        if held <= 0.0:
            return [Fault(0, "n_pct", "nothing_in_it")]
        return [Fault(0, "n_pct", "over_100")] if held > 100.0 else []
    return []


def _rate_faults(values: Cells) -> list[Fault]:
    low, high = TARGET_PH
    if values["nutrient"] == "pH" and not low <= float(values["amount"]) <= high:
        return [_range("amount", low, high)]
    told = [bool(values[one]) for one in ("lab", "method", "level")]
    if any(told) and not all(told):
        return [Fault(0, "level", "level_and_lab")]
    if values["level"] and values["nutrient"] in ("N", "pH"):
        return [Fault(0, "level", "no_level_here")]
    return []


def rows_of(table: Table, text: str) -> tuple[list[dict[str, str]], list[Fault]]:
    """The rows of what was pasted, under a line of titles (a column's name, or its title in either language; any
    order), cells set apart by tabs, semicolons or commas. With any fault nothing of it may be kept."""
    text = text.removeprefix("\ufeff").strip("\r\n")
    if not text.strip() or len(text) > MOST_PASTED or "\x00" in text:
        return [], [Fault(1, "", "nothing_pasted")]
    first = text.split("\n", 1)[0]
    sign = max("\t;,", key=first.count)
    try:
        lines = list(csv.reader((line + "\n" for line in text.split("\n")), delimiter=sign, strict=True))
    except csv.Error:
        return [], [Fault(1, "", "not_a_table")]
    if len(lines) > MOST_ROWS + 1:
        return [], [Fault(MOST_ROWS + 2, "", "too_many", facts=(("most", str(MOST_ROWS)),))]
    titles, faults = _titles(table, lines[0])
    if faults:
        return [], faults
    return _rows(table, titles, lines[1:])


def _rows(
    table: Table, titles: Sequence[str], lines: Sequence[Sequence[str]]
) -> tuple[list[dict[str, str]], list[Fault]]:
    out: list[dict[str, str]] = []
    faults: list[Fault] = []
    for line, cells in enumerate(lines, 2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) > len(titles):
            faults.append(Fault(line, "", "too_many_cells", facts=(("most", str(len(titles))),)))
            continue
        values, wrong = row_of(table, dict(zip(titles, cells, strict=False)), line)
        faults += wrong
        if values in out:
            faults.append(Fault(line, "", "twice"))
        out.append(values)
    return out, faults or ([] if out else [Fault(2, "", "nothing_pasted")])


def _titles(table: Table, cells: Sequence[str]) -> tuple[list[str], list[Fault]]:
    """The columns by their titles, and what is wrong with these."""
    known: dict[str, str] = {}
    for column in COLUMNS[table]:
        known[plain(column.name)] = column.name
        known |= {plain(say(one, f"fertilizer.column.{column.name}")): column.name for one in LANGUAGES}
    names = [known.get(plain(cell), "") for cell in cells]
    wrong = [
        Fault(1, "", "title", cell.strip()[:40]) for cell, name in zip(cells, names, strict=True) if not name
    ]
    wrong += [Fault(1, name, "title_twice") for name in sorted(set(names) - {""}) if names.count(name) > 1]
    lacking = [one.name for one in COLUMNS[table] if one.needed and one.name not in names]
    return names, wrong + [Fault(1, name, "no_column") for name in lacking]


def rate(values: Cells) -> Rate:
    told = [values.get(one, "") for one in ("lab", "method", "level", "yield_goal")]
    return Rate(
        values["crop"], values["nutrient"], float(values["amount"]), values["source"], _on(values), *told
    )


def level(values: Cells) -> LevelWord:
    return LevelWord(
        values["lab"],
        values["method"],
        values["nutrient"],
        values["unit"],
        values["word"],
        float(values["starts_at"]),
        values["source"],
        _on(values),
        values.get("enough", "") == "yes",
    )


def material(values: Cells) -> Material:
    n, p2o5, k2o, bag_lb, price = (
        float(values[one]) for one in ("n_pct", "p2o5_pct", "k2o_pct", "bag_lb", "price")
    )
    return Material(values["name"], n, p2o5, k2o, bag_lb, price, values["source"], _on(values))


def lime(values: Cells) -> LimeProduct:
    cce, fineness, price = (float(values[one]) for one in ("cce_pct", "fineness_pct", "price"))
    return LimeProduct(values["name"], cce, fineness, price, values["source"], _on(values))


def _on(values: Cells) -> date:
    return date.fromisoformat(values["dated"])


Row = TypeVar("Row")
MAKE: dict[Table, Callable[[Cells], Any]] = {
    "rates": rate,
    "levels": level,
    "materials": material,
    "limes": lime,
}


def tables_from(rows: Mapping[Table, Sequence[Cells]]) -> Tables:
    """The rows that stand, as values."""
    return Tables(**{table: tuple(make(one) for one in rows.get(table, ())) for table, make in MAKE.items()})
