"""The farm's book for whoever takes over: a front with contents, then each field's history, plan and standing.

It is set in parts, so that five hundred fields take no more memory than forty; the contents are set last, when
every field's page is known, and stand first.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from string import ascii_uppercase
from typing import Any
from uuid import UUID

from django.template.loader import render_to_string
from pypdf import PdfReader, PdfWriter

from server.ahead.grounds import plans_of
from server.land import models as land_models
from server.land import reads as land
from server.people.models import Farm
from server.registers import laboratory
from server.registers.laboratory import Answer
from server.registers.press import pressed
from server.registers.printed import sealed
from server.registers.reports.books import books_of
from server.registers.reports.rest_worth import soil_reads, worth_of_book
from server.status import reads as status
from shared.ahead.field_history import SoilLine, YearRow, history, soil_lines
from shared.ahead.worth import Worth
from shared.ahead.year_report import FieldBook
from shared.status.field_status import FieldStatus
from shared.words.due import Due
from shared.words.field import Field

A_PART = 20
"""Fields set together."""
MAP_WIDTH, MAP_HEIGHT = 150.0, 110.0
YEARS_BACK = 12
"""A field's years are told so far back; what is older is in the registers."""
Told = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class FieldPages:
    """A field as its pages tell it. ``outline`` are the points of its drawn shape, for a picture of it."""

    field: Field
    row: land_models.Field | None
    stands: FieldStatus
    leg: Any
    dues: Sequence[Due]
    history: Sequence[YearRow]
    older: int
    soil: Sequence[tuple[SoilLine, str]]
    labs: Sequence[tuple[str, str]]
    plan: Sequence[tuple[int, str, str]]
    worth: Worth
    outline: Sequence[str]


@dataclass(slots=True)
class Contents:
    """Where each field begins, and the farm as a whole."""

    fields: list[tuple[str, float | None, int]] = field(default_factory=list)


def farm_book(farm: Farm, language: str, today: date, told: Told = lambda done, of: None) -> bytes:
    """The whole book as one PDF. ``told`` hears after each part how many fields are set. Raises ``PressFailed``."""
    base = {"farm": farm, "language": language, "today": today}
    pages = list(field_pages(farm, today))
    contents, made = Contents(), list[bytes]()
    begins = 1
    told(0, len(pages))
    for at in range(0, len(pages), A_PART):
        some = pages[at : at + A_PART]
        part = pressed(
            render_to_string("web/report_book_fields.html", base | {"fields": some, "begins": begins})
        )
        reader = PdfReader(io.BytesIO(part))
        starts = field_starts(reader, len(some))
        contents.fields += [
            (one.field.name, one.field.area_ac, begins + start)
            for one, start in zip(some, starts, strict=True)
        ]
        begins += len(reader.pages)
        made.append(part)
        told(at + len(some), len(pages))
    front = render_to_string(
        "web/report_book_front.html", base | _front(farm, language, pages, contents, today)
    )
    return _bound([pressed(front), *made], farm.name)


def field_starts(reader: PdfReader, count: int) -> list[int]:
    """The page of the part, from 0, on which each field begins, by its heading among the bookmarks."""
    found = [reader.get_destination_page_number(one) for one in reader.outline if not isinstance(one, list)]
    starts = [one for one in found if one is not None]
    assert len(starts) == count, f"{len(starts)} headings for {count} fields"
    return starts


def _bound(parts: Sequence[bytes], title: str) -> bytes:
    writer = PdfWriter()
    for one in parts:
        writer.append(io.BytesIO(one), import_outline=True)
    writer.add_metadata({"/Title": title})
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def field_pages(farm: Farm, today: date) -> Iterator[FieldPages]:
    """Every field by name, in a number of queries that does not grow with them."""
    drawn = {one.id: one for one in land.fields(farm.id)}
    rows = {one.id: one for one in land_models.Field.objects.filter(farm_id=farm.id)}
    stands, plans = status.standings(farm.id), plans_of(farm.id)
    dues: dict[UUID, list[Due]] = {}
    for due in status.dues(farm.id):
        if due.field is not None:
            dues.setdefault(due.field, []).append(due)
    answers: dict[UUID, list[Answer]] = {}
    for answer in laboratory.known(farm):
        if answer.of == "soil" and answer.field is not None:
            answers.setdefault(answer.field, []).append(answer)
    for book in books_of(farm.id):
        if book.id in drawn:
            mine = (
                stands.get(book.id),
                answers.get(book.id, []),
                dues.get(book.id, []),
                plans.get(book.id, {}),
            )
            yield _pages(book, drawn[book.id], rows.get(book.id), mine, today)


def _pages(
    book: FieldBook, one: Field, row: land_models.Field | None, mine: tuple[Any, Any, Any, Any], today: date
) -> FieldPages:
    tree, answers, dues, plan = mine
    stands = FieldStatus.from_tree(tree) if tree else FieldStatus(one.id)
    reads = [read for answer in answers for read in soil_reads(answer)]
    rows = history(book, today)
    soil = soil_lines(one for one in reads if one.on.year > today.year - YEARS_BACK)
    labs = dict(zip(sorted({one.lab for one in soil}), ascii_uppercase, strict=False))
    return FieldPages(
        field=one,
        row=row,
        stands=stands,
        leg=stands.leg_on(today),
        dues=dues,
        history=rows[:YEARS_BACK],
        older=max(0, len(rows) - YEARS_BACK),
        soil=[(one, labs.get(one.lab, "")) for one in soil],
        labs=sorted((letter, lab) for lab, letter in labs.items()),
        plan=[(year, leg, crop) for year, (leg, crop) in sorted(plan.items()) if year > today.year],
        worth=worth_of_book(book, answers, today),
        outline=outline_of(one),
    )


def outline_of(one: Field) -> list[str]:
    """The field's pieces as points of a picture with north at the top; empty for a field that is not drawn."""
    corners = [corner for piece in one.outline or () for corner in piece.outer]
    if not corners:
        return []
    lats, lons = [float(c[0]) for c in corners], [float(c[1]) for c in corners]
    shrink = 0.77 if abs(max(lats)) > 1 else 1.0
    wide = max((max(lons) - min(lons)) * shrink, 1e-9)
    tall = max(max(lats) - min(lats), 1e-9)
    by = min(MAP_WIDTH / wide, MAP_HEIGHT / tall)
    return [
        " ".join(
            f"{(float(c[1]) - min(lons)) * shrink * by:.1f},{(max(lats) - float(c[0])) * by:.1f}"
            for c in piece.outer
        )
        for piece in one.outline or ()
    ]


def _front(
    farm: Farm, language: str, pages: Sequence[FieldPages], contents: Contents, today: date
) -> dict[str, Any]:
    legs: dict[str, float] = {}
    for one in pages:
        name = one.leg.leg if one.leg else "unknown"
        legs[name] = legs.get(name, 0.0) + (one.field.area_ac or 0.0)
    return {
        "contents": contents.fields,
        "acres": sum(one.field.area_ac or 0.0 for one in pages),
        "legs": sorted(legs.items(), key=lambda item: (-item[1], item[0])),
        "sealed": sealed(farm, language),
        "sheets": [sheet.name for sheet in land.sheets_in_force(farm.id)],
        "towns": land.towns(farm.id),
        "undrawn": [one.field.name for one in pages if not one.field.outline],
        "unplanned": [one.field.name for one in pages if not one.plan],
        "untested": [one.field.name for one in pages if not one.soil],
        "today": today,
    }
