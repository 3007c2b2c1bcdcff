"""A register that leaves the screen: at its head the farm, the days, the sheets and the book's own proof."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from html import escape
from itertools import islice
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


def head_of(
    farm: Farm,
    register: Register,
    first: date,
    last: date,
    language: str,
    now: datetime,
    of: UUID | None = None,
) -> Head:
    """``now`` is when it is printed, ``of`` the field that alone is in it."""
    sheets = ", ".join(sheet_title(one, language) for one in land.sheets_in_force(farm.id))
    at = now.astimezone(ZoneInfo(farm.zone))
    days = (day(language, first, year=True), day(language, last, year=True))
    printed = f"{day(language, at.date(), year=True)}, {at:%H:%M}"
    lines = (
        " · ".join([farm.name, *_field(farm.id, of), f"{days[0]} – {days[1]}"]),
        say(language, "logs.asked_for", source=register.source(language)),
        say(language, "register_print.sheets", sheets=sheets or say(language, "register_print.no_sheets")),
        say(language, "register_print.proof", number=farm.number, chain=farm.chain, at=printed),
        sealed(farm, language),
        say(language, "register_print.marks"),
        say(language, "pages.check_with_authority"),
    )
    return Head(lines, say(language, "register_print.page"), say(language, "register_print.of"))


def _field(farm: UUID, of: UUID | None) -> list[str]:
    return [one.name for one in land.fields(farm, retired=True) if one.id == of]


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
    lines = [line for row in rows for line in lines_of(register, row, language, names)]
    columns = Columns(len(register.columns))
    columns.look_at(lines)
    above = _above(register, language, head, columns)
    return _page(register, language, head, columns, lines, above, _foot(register.title(language), head))


@dataclass
class Columns:
    """Which columns anything stands in, and how wide the words in each are: counted over all lines, before the first
    is set, so that every part of a long register has the same columns."""

    count: int
    filled: set[int] = field(default_factory=set)
    longest_word: dict[int, int] = field(default_factory=dict)
    letters: dict[int, int] = field(default_factory=dict)
    lines: int = 0

    def look_at(self, lines: Iterable[Line]) -> None:
        for line in lines:
            self.lines += 1
            for place, (text, _) in enumerate(line):
                if text:
                    self.filled.add(place)
                    longest = len(text) if len(text) <= SHORT else max(map(len, text.split()), default=0)
                    self.longest_word[place] = max(self.longest_word.get(place, 0), min(longest, SHORT))
                    self.letters[place] = self.letters.get(place, 0) + len(text)

    @property
    def kept(self) -> list[int]:
        return sorted(self.filled)

    def widths(self, titles: Sequence[str]) -> list[float]:
        """The share of each kept column in per cent: room for its longest word, and more where it says much."""
        wanted = []
        for place in self.kept:
            word = max(map(len, titles[place].split()), default=1)
            mean = self.letters[place] / max(1, self.lines)
            wanted.append(max(self.longest_word[place], word, 3) + 1 + min(mean / 3, 10))
        return [100 * one / sum(wanted) for one in wanted]


PART_LINES = 1_000
"""Lines set at once: some 30 pages, which take the press about 200 MB."""


def in_parts(
    register: Register,
    lines: Iterable[Line],
    language: str,
    head: Head,
    columns: Columns,
) -> Iterator[tuple[str, int]]:
    """A long register as pages of HTML with how many lines each has, one after the other; the head stands on the
    first, no page is numbered: that is for whoever knows how many they become."""
    foot = f'@page {{ @bottom-left {{ content: "{escape(register.title(language))}"; }} }}'
    titles = register.column_titles(language)
    widths = "".join(f'<col style="width:{share:.2f}%">' for share in columns.widths(titles))
    several, above = iter(lines), _above(register, language, head, columns)
    while part := list(islice(several, PART_LINES)):
        yield _page(register, language, head, columns, part, above, foot + SET_WIDTHS, widths), len(part)
        above = ""


SET_WIDTHS = "table { table-layout: fixed; } .short { white-space: normal; }"


def page_numbers(head: Head, pages: int) -> str:
    """As many empty pages as a register has, each with its number at its foot: laid over the register's own."""
    return (
        f'<!doctype html><html><head><meta charset="utf-8"><title>{escape(head.page)}</title>'
        f"<style>{_numbered(head)} div {{ break-after: page; height: 1px; }} div:last-child {{ break-after: auto; }}"
        f"</style></head><body>{'<div></div>' * pages}</body></html>"
    )


def _above(register: Register, language: str, head: Head, columns: Columns) -> str:
    titles = register.column_titles(language)
    empty = [title for place, title in enumerate(titles) if place not in columns.filled]
    told = list(head.lines)
    if not columns.lines:
        told.append(say(language, "pages.no_lines"))
    elif empty:
        told.append(say(language, "register_print.empty", titles=", ".join(empty)))
    above = "".join(f"<p>{escape(line)}</p>" for line in told)
    return f"<h1>{escape(register.title(language))}</h1>{above}"


def _page(
    register: Register,
    language: str,
    head: Head,
    columns: Columns,
    lines: Sequence[Line],
    above: str,
    style: str,
    widths: str = "",
) -> str:
    titles, kept = register.column_titles(language), columns.kept
    heads = "".join(f"<th>{escape(titles[place])}</th>" for place in kept)
    body = "".join("<tr>" + "".join(_cell(*line[place]) for place in kept) + "</tr>" for line in lines)
    return (
        f'<!doctype html><html lang="{language}"><head><meta charset="utf-8">'
        f"<title>{escape(register.title(language))}</title><style>{style}</style></head><body>{above}"
        f"<table>{widths}<thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table></body></html>"
    )


def _foot(title: str, head: Head) -> str:
    return f'@page {{ @bottom-left {{ content: "{escape(title)}"; }} }} {_numbered(head)}'


def _numbered(head: Head) -> str:
    counted = f'"{head.page} " counter(page) " {head.of} " counter(pages)'
    return f"@page {{ @bottom-right {{ content: {counted}; }} }}"


def lines_of(register: Register, row: Any, language: str, names: Mapping[UUID, str]) -> list[Line]:
    """A row as (words, whether ruled through) for each column; above it what a correction replaced."""
    was = getattr(row, "was", None)
    struck = getattr(row, "struck", False)
    before = [[(text, True) for text in written_row(register, was, language, names)]] if was else []
    cells = zip(register.columns, written_row(register, row, language, names), strict=True)
    return [*before, [(text, struck and key not in STAYS) for key, text in cells]]


def _cell(text: str, struck: bool) -> str:
    told = f"<s>{escape(text)}</s>" if struck and text else escape(text)
    return f'<td class="short">{told}</td>' if len(text) <= SHORT else f"<td>{told}</td>"
