"""What laboratories answered: typed, or a laboratory's own file read by a mapping that is remembered for it."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from uuid import UUID
from zoneinfo import ZoneInfo

from server.book import reads as book
from server.intake.desk import Draft, write
from server.people.ids import new_id
from server.people.models import Farm
from server.registers.facts import facts_of
from server.registers.models import LaboratorySheet
from shared.errors import GoodgroundError
from shared.status.fact import Fact
from shared.words.bodies.laboratory import Result, Sample

KINDS = ("soil", "nitrate", "leaves", "tissue", "hay", "biomass", "nematode", "bioassay")
UNITS = (
    *(
        "pH",
        "ppm",
        "mg/kg",
        "g/kg",
        "lb/ac",
        "tons/ac",
        "%",
        "index",
        "meq/100 g",
        "cmol/kg",
        "dS/m",
        "mmhos/cm",
        "ratio",
    ),
    *("count", "days"),
)
KEPT = ("sample", "result")
SPANS = {"pH": ("2", "11"), "%": ("0", "100")}
"""What a figure in such a unit can be at all; another is a wrong column or a wrong unit."""
MOST = Decimal("999999")
ROLES = ("field", "on", "bag", "top_in", "bottom_in", "figure", "left_out")
MOST_CSV = 512 * 1024
MOST_ROWS = 1_000
DAYS = ("%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y", "%d %B %Y")


class NotACsv(GoodgroundError):
    """A file that has no columns, is too long, or is no text."""

    code = "not_a_csv"


@dataclass(frozen=True, slots=True)
class Column:
    """What stands in a column: a role, and of a figure what it is called and in which unit."""

    role: str
    name: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """What can't be used, where: a line of the file (1 is the titles) and the column's title."""

    line: int
    column: str
    key: str
    value: str


@dataclass(frozen=True, slots=True)
class Answer:
    """A laboratory's answer on one sample."""

    field: UUID | None
    on: date
    of: str
    lab: str
    method: str
    values: tuple[tuple[str, Decimal, str], ...]
    bag: str | None = None
    top_in: Decimal | None = None
    bottom_in: Decimal | None = None
    cores: int | None = None
    town: UUID | None = None


@dataclass(slots=True)
class Sheet:
    """A file as rows under its titles."""

    titles: list[str]
    rows: list[list[str]]
    faults: list[Fault] = field(default_factory=list)


def sheet_of(text: str) -> Sheet:
    """The rows of a file. Raises ``NotACsv``."""
    if len(text) > MOST_CSV or "\x00" in text:
        raise NotACsv
    text = text.removeprefix("\ufeff")
    try:
        comma, semicolon = (text.split("\n", 1)[0].count(sign) for sign in ",;")
        rows = list(csv.reader(io.StringIO(text), delimiter=";" if semicolon > comma else ",", strict=True))
    except csv.Error:
        raise NotACsv from None
    rows = [[cell.strip() for cell in row] for row in rows if any(cell.strip() for cell in row)]
    titles = rows[0] if rows else []
    if len(titles) < 2 or len(rows) < 2 or len(rows) > MOST_ROWS or len(set(titles)) != len(titles):
        raise NotACsv
    return Sheet(titles, rows[1:])


def remembered(farm: UUID, lab: str, of: str, titles: Sequence[str]) -> tuple[dict[str, Column], str] | None:
    """How this laboratory's file was read before, and its method; None where a title is new, so that a file whose
    columns or units are others is never read by an old mapping."""
    found = LaboratorySheet.objects.filter(farm_id=farm, lab=lab, of=of).first()
    if found is None or set(titles) != set(found.columns):
        return None
    return {title: Column(**told) for title, told in found.columns.items()}, found.method


def remember(farm: UUID, lab: str, of: str, method: str, columns: Mapping[str, Column]) -> None:
    told = {title: {"role": one.role, "name": one.name, "unit": one.unit} for title, one in columns.items()}
    LaboratorySheet.objects.update_or_create(
        farm_id=farm, lab=lab, of=of, defaults={"method": method, "columns": told}
    )


def answers(
    sheet: Sheet, columns: Mapping[str, Column], lab: str, method: str, of: str, fields: Mapping[str, UUID]
) -> tuple[list[Answer], list[Fault]]:
    """Each row as an answer, and all that can't be used of the file; ``fields`` by their names in small letters."""
    out: list[Answer] = []
    faults: list[Fault] = []
    for line, row in enumerate(sheet.rows, 2):
        cells = dict(zip(sheet.titles, [*row, *[""] * len(sheet.titles)], strict=False))
        found = _answer(line, cells, columns, fields, faults)
        if found is not None:
            where, on, bag, top, bottom, values = found
            out.append(Answer(where, on, of, lab, method, values, bag, top, bottom))
    return out, faults


Parts = tuple[UUID, date, str | None, Decimal | None, Decimal | None, tuple[tuple[str, Decimal, str], ...]]


def _answer(
    line: int,
    cells: Mapping[str, str],
    columns: Mapping[str, Column],
    fields: Mapping[str, UUID],
    faults: list[Fault],
) -> Parts | None:
    before = len(faults)
    where: UUID | None = None
    on: date | None = None
    bag: str | None = None
    depths: dict[str, Decimal | None] = {}
    values = []
    for title, column in columns.items():
        text = cells.get(title, "")
        if column.role == "field":
            where = fields.get(text.lower())
            _told(where is None, faults, line, title, "no_such_field", text)
        elif column.role == "on":
            on = day_of(text)
            _told(on is None, faults, line, title, "no_day", text)
        elif column.role == "bag":
            bag = text[:100] or None
        elif column.role in ("top_in", "bottom_in") and text:
            depths[column.role] = figure_of(text, "in")
            _told(depths[column.role] is None, faults, line, title, "no_figure", text)
        elif column.role == "figure" and text:
            number = figure_of(text, column.unit)
            _told(number is None, faults, line, title, "no_figure", text)
            if number is not None:
                values.append((column.name or title, number, column.unit))
    if not values and len(faults) == before:
        faults.append(Fault(line, "", "no_figures", ""))
    if len(faults) > before or where is None or on is None:
        return None
    return where, on, bag, depths.get("top_in"), depths.get("bottom_in"), tuple(values)


def _told(wrong: bool, faults: list[Fault], line: int, title: str, key: str, text: str) -> None:
    if wrong:
        faults.append(Fault(line, title, key, text[:40]))


def day_of(text: str) -> date | None:
    for form in DAYS:
        try:
            return datetime.strptime(text, form).date()
        except ValueError:
            continue
    return None


def figure_of(text: str, unit: str) -> Decimal | None:
    """The figure, where it is one that can be in this unit; a laboratory's sign for under its limit is none."""
    try:
        number = Decimal(text.replace(",", "")) if text.isascii() and "_" not in text else None
    except InvalidOperation:
        return None
    if number is None or not number.is_finite():
        return None
    low, high = SPANS.get(unit, ("-1000" if unit == "index" else "0", str(MOST)))
    _, _, exponent = number.as_tuple()
    fits = Decimal(low) <= number <= Decimal(high) and isinstance(exponent, int) and exponent >= -9
    return number if fits else None


def keep(farm: Farm, person: UUID, several: Sequence[Answer], now: datetime) -> tuple[int, int]:
    """Write answers in the book, each with its sample; how many, and how many stood there already."""
    here = {_same(one) for one in known(farm)}
    fresh = [one for one in dict.fromkeys(several) if _same(one) not in here]
    drafts = [draft for one in fresh for draft in _drafts(one, now)]
    if drafts:
        write(farm.id, person, drafts, now)
    return len(fresh), len(several) - len(fresh)


def _same(one: Answer) -> tuple[object, ...]:
    return (one.field, one.on, one.of, one.lab.lower(), one.bag, frozenset(one.values))


def _drafts(one: Answer, now: datetime) -> Iterator[Draft]:
    sample = new_id(now)
    body = Sample(
        one.of,  # type: ignore[arg-type]
        lab_bag=one.bag, lab=one.lab, top_in=one.top_in, bottom_in=one.bottom_in, cores=one.cores, town=one.town,
    )  # fmt: skip
    around = {"field": one.field, "done_at": one.on, "from_paper": True}
    yield Draft(body, id=sample, **around)  # type: ignore[arg-type]
    yield Draft(Result(sample, one.lab, one.method, one.values), **around)  # type: ignore[arg-type]


def known(farm: Farm, field: UUID | None = None) -> list[Answer]:
    """Every answer in force, of one field or of all, the oldest first; one whose sample is not here is left out."""
    facts = _of_field(farm, field) if field is not None else facts_of(farm, KEPT, date.min, date.max)
    zone = ZoneInfo(farm.zone)
    samples = {one.id: one for one in facts if isinstance(one.body, Sample) and not one.struck}
    found = [
        _known(one, samples[one.body.sample], zone)
        for one in facts
        if isinstance(one.body, Result) and not one.struck and one.body.sample in samples
    ]
    mine = [one for one in found if one is not None and (field is None or one.field == field)]
    return sorted(mine, key=lambda one: (one.on, one.lab))


def _of_field(farm: Farm, field: UUID) -> list[Fact]:
    """Samples and answers that may be of one field. Where a sample was put in this field by a correction, its answer
    still stands at the field that it was bagged in: that one's answers are looked through too."""
    facts = list(facts_of(farm, KEPT, date.min, date.max, (field,)))
    ids = [one.id for one in facts if isinstance(one.body, Sample) and one.corrected_by is not None]
    bagged_in = (
        {row.field for row in book.of_entries(farm.id, ids) if row.field is not None} if ids else set()
    )
    elsewhere = bagged_in - {field}
    if elsewhere:
        there = {one.id for one in facts}
        answers = facts_of(farm, KEPT[1:], date.min, date.max, elsewhere)
        facts += [one for one in answers if one.id not in there]
    return facts


def _known(result: Fact, sample: Fact, zone: ZoneInfo) -> Answer | None:
    body, of, on = result.body, sample.body, sample.day(zone)
    if on is None or not isinstance(body, Result) or not isinstance(of, Sample):
        return None
    return Answer(
        sample.field or result.field, on, of.of, body.lab, body.method, body.values,
        of.lab_bag, of.top_in, of.bottom_in, of.cores, of.town,
    )  # fmt: skip


def waiting(farm: Farm) -> list[Fact]:
    """Samples that no laboratory has answered yet, in the order of the book."""
    facts = facts_of(farm, ("sample", "result"), date.min, date.max)
    answered = {one.body.sample for one in facts if isinstance(one.body, Result) and not one.struck}
    return [
        one for one in facts if isinstance(one.body, Sample) and not one.struck and one.id not in answered
    ]
