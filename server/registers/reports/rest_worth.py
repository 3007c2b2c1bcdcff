"""What the rest was worth: every field's last rest, by the book and the laboratories, with what is modelled apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from server.people.models import Farm
from server.registers import laboratory
from server.registers.laboratory import Answer
from server.registers.reports.books import books_of
from shared.ahead.worth import MEASURES, SoilRead, Worth, worth_of
from shared.ahead.year_report import FieldBook

NAMES = {
    "organic matter": "om",
    "o.m.": "om",
    "phosphorus": "p",
    "potassium": "k",
    "magnesium": "mg",
    "calcium": "ca",
}


@dataclass(frozen=True, slots=True)
class RestWorth:
    """``counts`` is (measure, word, fields) for weeds and hard points by their lines; ``om`` how many changes of
    organic matter are within the measuring error, and how many are beyond it."""

    fields: Sequence[Worth]
    counts: Sequence[tuple[str, str, int]]
    om_within: int
    om_beyond: int

    @property
    def rested(self) -> Sequence[Worth]:
        return [one for one in self.fields if one.since is not None]

    @property
    def never(self) -> Sequence[Worth]:
        return [one for one in self.fields if one.since is None]


def rest_worth(farm: Farm, today: date) -> RestWorth:
    answers: dict[UUID, list[Answer]] = {}
    for one in laboratory.known(farm):
        if one.of == "soil" and one.field is not None:
            answers.setdefault(one.field, []).append(one)
    fields = [worth_of_book(book, answers.get(book.id, []), today) for book in books_of(farm.id)]
    found = [each for one in fields for measure in MEASURES if (each := one.of(measure)) is not None]
    counted = Counter((one.measure, one.word) for one in found)
    om = [move.within_error for one in fields for move in one.soil_of("om") if move.within_error is not None]
    counts = [(measure, word, count) for (measure, word), count in sorted(counted.items())]
    return RestWorth(fields, counts, om.count(True), om.count(False))


def worth_of_book(book: FieldBook, answers: Sequence[Answer], today: date) -> Worth:
    return worth_of(book, [read for one in answers for read in soil_reads(one)], today)


def soil_reads(answer: Answer) -> list[SoilRead]:
    """Each figure of an answer, by the name that it is compared under."""
    depth = f"{answer.top_in or 0}-{answer.bottom_in}" if answer.bottom_in is not None else ""
    by = f"{answer.lab}, {answer.method}"
    return [
        SoilRead(answer.on, _name(name), unit, float(value), by, depth) for name, value, unit in answer.values
    ]


def _name(name: str) -> str:
    plain = name.strip().lower()
    return NAMES.get(plain, plain)
