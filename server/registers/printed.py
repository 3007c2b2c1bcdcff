"""A register that leaves the screen: at its head the farm, the days, the sheets and the book's own proof."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from html import escape
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from server.land import reads as land
from server.people.models import Farm
from server.reading import sealing
from shared.languages import day, say
from shared.rules import sheet_title
from shared.status.registers import Register, written_row

SHORT = 17
"""Words of so many letters are kept on one line: tickets, times, figures."""
Line = list[tuple[str, bool]]
STAYS = ("change", "change_why", "initialled_by")
"""What tells of a strike is not ruled through with what it struck."""


@dataclass(frozen=True, slots=True)
class Head:
    """The lines at the head, and those at the foot of each page."""

    lines: tuple[str, ...]
    page: str
    of: str


def head_of(farm: Farm, register: Register, first: date, last: date, language: str, now: datetime) -> Head:
    """``now`` is when it is printed."""
    sheets = ", ".join(sheet_title(one, language) for one in land.sheets_in_force(farm.id))
    at = now.astimezone(ZoneInfo(farm.zone))
    days = (day(language, first, year=True), day(language, last, year=True))
    printed = f"{day(language, at.date(), year=True)}, {at:%H:%M}"
    lines = (
        f"{farm.name} · {days[0]} – {days[1]}",
        say(language, "logs.asked_for", source=register.source(language)),
        say(language, "register_print.sheets", sheets=sheets or say(language, "register_print.no_sheets")),
        say(language, "register_print.proof", number=farm.number, chain=farm.chain, at=printed),
        sealed(farm, language),
        say(language, "register_print.marks"),
        say(language, "pages.check_with_authority"),
    )
    return Head(lines, say(language, "register_print.page"), say(language, "register_print.of"))


def sealed(farm: Farm, language: str) -> str:
    """Up to where the book is sealed, by the last seal in it."""
    found = sealing.last_seal(farm.id)
    if found is None:
        return say(language, "logs.no_seal")
    row, body = found
    here = (row.made_at or row.arrived_at).astimezone(ZoneInfo(farm.zone))
    at = f"{day(language, here.date(), year=True)}, {here:%H:%M}"
    return say(language, "logs.seal", last=body.last, at=at, root=body.root)


def as_html(
    register: Register, rows: Sequence[Any], language: str, names: Mapping[UUID, str], head: Head
) -> str:
    """The register as one page of HTML for the press; everything in it is told as text. A column in which nothing
    stands on any line is named above and takes no room."""
    lines = [line for row in rows for line in _lines(register, row, language, names)]
    kept = [place for place in range(len(register.columns)) if any(line[place][0] for line in lines)]
    titles = register.column_titles(language)
    empty = [title for place, title in enumerate(titles) if place not in kept]
    told = list(head.lines)
    if not lines:
        told.append(say(language, "pages.no_lines"))
    elif empty:
        told.append(say(language, "register_print.empty", titles=", ".join(empty)))
    title = escape(register.title(language))
    above = "".join(f"<p>{escape(line)}</p>" for line in told)
    heads = "".join(f"<th>{escape(titles[place])}</th>" for place in kept)
    body = "".join("<tr>" + "".join(_cell(*line[place]) for place in kept) + "</tr>" for line in lines)
    return (
        f'<!doctype html><html lang="{language}"><head><meta charset="utf-8"><title>{title}</title>'
        f"<style>{_foot(title, head)}</style></head><body><h1>{title}</h1>{above}"
        f"<table><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table></body></html>"
    )


def _foot(title: str, head: Head) -> str:
    counted = f'"{head.page} " counter(page) " {head.of} " counter(pages)'
    return f'@page {{ @bottom-left {{ content: "{title}"; }} @bottom-right {{ content: {counted}; }} }}'


def _lines(register: Register, row: Any, language: str, names: Mapping[UUID, str]) -> list[Line]:
    """A row as (words, whether ruled through) for each column; above it what a correction replaced."""
    was = getattr(row, "was", None)
    struck = getattr(row, "struck", False)
    before = [[(text, True) for text in written_row(register, was, language, names)]] if was else []
    cells = zip(register.columns, written_row(register, row, language, names), strict=True)
    return [*before, [(text, struck and key not in STAYS) for key, text in cells]]


def _cell(text: str, struck: bool) -> str:
    told = f"<s>{escape(text)}</s>" if struck and text else escape(text)
    return f'<td class="short">{told}</td>' if len(text) <= SHORT else f"<td>{told}</td>"
