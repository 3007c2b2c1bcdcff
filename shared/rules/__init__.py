"""Rule sheets and the checks that read them: the front door, small and fast enough for the moment of an
entry.

    from shared.rules import DEFAULT_SHEETS, depth_at_stop, sheets_in_force, worded

    sheets = sheets_in_force(DEFAULT_SHEETS)
    for finding in depth_at_stop(sheets, "north part", 6.4):
        print(worded(finding, "en").text())

A check takes the sheets in force and plain values, and answers findings: all of them, each once, in one
order. It never raises for what it finds; an ``InputError`` says that a value given to it can't be.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from shared.errors import BrokenSheet, UnknownName
from shared.rules import sheets as shipped
from shared.rules.applications import applications
from shared.rules.bags import BagFacts, bags
from shared.rules.depth import (
    DepthStops,
    caps,
    depth,
    depth_at_stop,
    depth_history,
    laid_depth,
    lowest_cap,
    lowest_target,
    measured_depth,
)
from shared.rules.grass import grass
from shared.rules.ground import GroundToSpreadOn, may_be_spread_on
from shared.rules.land import LandFacts, RateRequest, land, rate_answered
from shared.rules.load_checks import LoadDay, load_checks
from shared.rules.notice import NoticeFacts, notice, notice_by
from shared.rules.occurrences import OccurrenceFacts, occurrences
from shared.rules.organic import (
    ManureHarvest,
    OrganicHarvest,
    TownToGround,
    manure_harvest,
    organic_harvest,
    town_approval,
)
from shared.rules.rate import rate
from shared.rules.reading import line_of, parse
from shared.rules.records import RecordFacts, fields_asked, records
from shared.rules.report import ReportFacts, report, reports_due
from shared.rules.retention import keep_until, may_be_discarded
from shared.rules.room import FieldToFill, Room, Sent, field_room
from shared.rules.setbacks import Reach, setback, setbacks, widest_setback_ft
from shared.rules.sheet import SHEET_KEYS, Clause, Sheet, Unfound
from shared.rules.spread import Spread, WorkedIn
from shared.rules.spreading import Arrival, spread_by, spread_in_time
from shared.rules.storage import Stored, storage
from shared.rules.trash import TrashFacts, by_volume, trash, weighed
from shared.rules.unfound import not_found
from shared.rules.windrow import Windrows, windrows
from shared.rules.wording import Worded, sheet_title, worded
from shared.rules.work_in import work_in, work_in_last_day
from shared.rules.work_in_clock import Clock, clocks

DEFAULT_SHEETS = ("new_jersey", "nop", "farm")
"""What a new farm begins with."""

OWN_NAME = "farm"
"""The one shipped sheet that a grower's own may stand in for."""


@cache
def sheet_names() -> tuple[str, ...]:
    """The names of the sheets that come with the program, sorted."""
    return tuple(one.removesuffix(".toml") for one in shipped.filenames())


@cache
def sheet(name: str) -> Sheet:
    """A sheet that comes with the program, read once. Raises ``UnknownName`` for any other."""
    if name not in sheet_names():
        raise UnknownName(name, sheet_names())
    return parse(shipped.text(f"{name}.toml"), f"{name}.toml")


def own_sheet(text: str, filename: str) -> Sheet:
    """A grower's own sheet from its TOML. Raises ``BrokenSheet``, also where it takes the name of a shipped
    sheet other than ``farm``: an authority's limits are not a farm's to rewrite."""
    own = parse(text, filename)
    if own.name in sheet_names() and own.name != OWN_NAME:
        wrong = f"{own.name} comes with the program; give yours another name"
        raise BrokenSheet(filename, line_of(text, "name"), "name", wrong)
    return own


def sheets_in_force(names: Iterable[str], own: Iterable[Sheet] = ()) -> tuple[Sheet, ...]:
    """The sheets of these names, each once, in that order; a farm's own before a shipped one of the same
    name. Raises ``UnknownName`` for a name that is neither."""
    by_name = {one.name: one for one in own}
    known = tuple(sorted({*by_name, *sheet_names()}))
    chosen: dict[str, Sheet] = {}
    for name in names:
        if name not in known:
            raise UnknownName(name, known)
        chosen[name] = by_name.get(name) or sheet(name)
    return tuple(chosen.values())


__all__ = [
    "DEFAULT_SHEETS",
    "OWN_NAME",
    "SHEET_KEYS",
    "Arrival",
    "BagFacts",
    "Clause",
    "Clock",
    "DepthStops",
    "FieldToFill",
    "GroundToSpreadOn",
    "LandFacts",
    "LoadDay",
    "ManureHarvest",
    "NoticeFacts",
    "OccurrenceFacts",
    "OrganicHarvest",
    "RateRequest",
    "Reach",
    "RecordFacts",
    "ReportFacts",
    "Room",
    "Sent",
    "Sheet",
    "Spread",
    "Stored",
    "TownToGround",
    "TrashFacts",
    "Unfound",
    "Windrows",
    "Worded",
    "WorkedIn",
    "applications",
    "bags",
    "by_volume",
    "caps",
    "clocks",
    "depth",
    "depth_at_stop",
    "depth_history",
    "field_room",
    "fields_asked",
    "grass",
    "keep_until",
    "laid_depth",
    "land",
    "load_checks",
    "lowest_cap",
    "lowest_target",
    "manure_harvest",
    "may_be_discarded",
    "may_be_spread_on",
    "measured_depth",
    "not_found",
    "notice",
    "notice_by",
    "occurrences",
    "organic_harvest",
    "own_sheet",
    "parse",
    "rate",
    "rate_answered",
    "records",
    "report",
    "reports_due",
    "setback",
    "setbacks",
    "sheet",
    "sheet_names",
    "sheet_title",
    "sheets_in_force",
    "spread_by",
    "spread_in_time",
    "storage",
    "town_approval",
    "trash",
    "weighed",
    "widest_setback_ft",
    "windrows",
    "worded",
    "work_in",
    "work_in_last_day",
]
