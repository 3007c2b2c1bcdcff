"""Work done in a field, and the runs that calibrate a machine."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal
from uuid import UUID

from shared.words.bodies.body import Body, other_needs_words
from shared.words.bodies.walked import DepthIn, HeightIn, Percent
from shared.words.moment import Moment
from shared.words.span import span

JobName = Literal[
    "spread",
    "work_in",
    "seed",
    "mow",
    "kill",
    "cut_hay",
    "rake",
    "bale",
    "plow",
    "disk",
    "subsoil",
    "cultivate",
    "lime",
    "fertilize",
    "manure",
    "compost",
    "spray",
    "plant",
    "harvest",
    "irrigate",
    "clean",
    "pick_trash",
    "move",
    "other",
]
LbPerAcre = Annotated[Decimal, span("0", "40000", "lb/ac")]


@dataclass(frozen=True, slots=True)
class Work(Body):
    """One job done: what, how much ground, with what."""

    job: JobName
    area_ac: Annotated[Decimal, span("0", "2000", "ac")] | None = None
    crop: str | None = None
    variety: str | None = None
    machine: str | None = None
    people: tuple[UUID, ...] | None = None
    started_at: Moment | None = None
    from_: tuple[UUID, ...] | None = None
    to: UUID | None = None
    passes: Annotated[int, span("1", "50", "")] | None = None
    loads: Annotated[int, span("0", "1000", "loads")] | None = None
    yards_yd3: Annotated[Decimal, span("0", "50000", "yd3")] | None = None
    depth_in: DepthIn | None = None
    stubble_in: HeightIn | None = None
    bags_off: bool | None = None
    seed_lb_per_ac: Annotated[Decimal, span("0", "500", "lb/ac")] | None = None
    seed_lot: str | None = None
    seed_status: Literal["organic", "untreated", "treated"] | None = None
    material: str | None = None
    material_lb_per_ac: LbPerAcre | None = None
    n_pct: Percent | None = None
    p2o5_pct: Percent | None = None
    k2o_pct: Percent | None = None
    cce_pct: Annotated[Decimal, span("0", "180", "%")] | None = None
    bales: Annotated[int, span("0", "20000", "bales")] | None = None
    bale_lb: Annotated[Decimal, span("10", "3000", "lb")] | None = None
    moisture_pct: Percent | None = None
    cutting: Annotated[int, span("1", "8", "")] | None = None
    lot: str | None = None
    epa_number: str | None = None
    product_amount: Annotated[Decimal, span("0", "100000", "")] | None = None
    product_unit: str | None = None
    applicator: str | None = None
    reentry_h: Annotated[int, span("0", "720", "h")] | None = None
    preharvest_d: Annotated[int, span("0", "365", "days")] | None = None
    plantback_d: Annotated[int, span("0", "1500", "days")] | None = None
    other_text: str | None = None

    def check(self) -> None:
        other_needs_words(self.job == "other", self.other_text)


@dataclass(frozen=True, slots=True)
class Calibrate(Body):
    """Runs of a spreader, drill or sprayer over a sheet of known size."""

    machine: str
    setting: str
    runs: tuple[Annotated[Decimal, span("0", "2000", "lb")], ...]
    sheet_ft2: Annotated[Decimal, span("0.1", "2000", "ft2")]
