"""What is measured while walking a field."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal
from uuid import UUID

from shared.errors import Unsound
from shared.words.bodies.body import NULLABLE, Body, other_needs_words
from shared.words.span import span

CoverPlant = Literal[
    "rye",
    "vetch",
    "rye_vetch",
    "sorghum_sudan",
    "sudan",
    "orchardgrass",
    "timothy",
    "clover",
    "oats",
    "other",
]
CoverClass = Literal["none", "trace", "1-5", "5-25", "25-50", "50-75", "75-95", "95-100"]
HeightIn = Annotated[Decimal, span("0", "180", "in")]
DepthIn = Annotated[Decimal, span("0", "48", "in")]
Percent = Annotated[Decimal, span("0", "100", "%")]
Psi = Annotated[Decimal, span("0", "1000", "psi")]


@dataclass(frozen=True, slots=True)
class Cover(Body):
    """The cover at one stop."""

    cover: CoverPlant
    height_in: HeightIn
    heads: Literal["none", "few", "many"]
    mix: tuple[tuple[str, Percent], ...] | None = None
    stand_pct: Percent | None = None
    stage: str | None = None
    frost: Literal["none", "light", "killing"] | None = None
    other_text: str | None = None

    def check(self) -> None:
        other_needs_words(self.cover == "other", self.other_text)


@dataclass(frozen=True, slots=True)
class Weeds(Body):
    """Weeds at one stop: cover classes a quadrat, or plants counted in a frame."""

    seed_set: Literal["none", "some", "much"]
    scale: Literal["cover8"] | None = None
    classes: tuple[CoverClass, ...] | None = None
    counts: tuple[tuple[str, Annotated[int, span("0", "5000", "plants")]], ...] | None = None
    frame_m2: Annotated[Decimal, span("0.01", "10", "m2")] | None = None
    kinds: tuple[str, ...] | None = None

    def check(self) -> None:
        if (self.classes is None) == (self.counts is None):
            raise Unsound("missing_key", "body.classes", "either classes or counts")
        if self.classes is not None and self.scale is None:
            raise Unsound("missing_key", "body.scale")
        if self.counts is not None and self.frame_m2 is None:
            raise Unsound("missing_key", "body.frame_m2")


@dataclass(frozen=True, slots=True)
class Firmness(Body):
    """One push of the penetrometer: the peak with the hard layer's top and bottom, or a profile."""

    cone: Literal["half_inch", "three_quarter_inch"]
    moisture: Literal["dry", "moist", "ready", "wet"]
    where: Literal["body", "lane", "entrance", "end_row"]
    peak_psi: Psi | None = None
    top_in: Annotated[DepthIn | None, NULLABLE] = None
    bottom_in: Annotated[DepthIn | None, NULLABLE] = None
    profile: tuple[tuple[DepthIn, Psi], ...] | None = None
    reached_in: DepthIn | None = None
    stopped: Literal["none", "stone", "hard"] | None = None

    def check(self) -> None:
        if self.peak_psi is None and not self.profile:
            raise Unsound("missing_key", "body.peak_psi", "either a peak or a profile")

    def keeps_null(self, name: str) -> bool:
        """With a peak, no hard layer is said by null; with a profile it is read off the profile."""
        return self.peak_psi is not None and name in ("top_in", "bottom_in")

    @property
    def highest_psi(self) -> Decimal:
        """The peak, read off the profile where only that was kept."""
        if self.peak_psi is not None:
            return self.peak_psi
        return max(psi for _, psi in self.profile or ())


@dataclass(frozen=True, slots=True)
class Spade(Body):
    """What a spade showed."""

    roots: Literal["free", "bent", "stopped"]
    structure: Literal["crumb", "block", "plate", "massive"]
    depth_in: DepthIn | None = None
    worms: Annotated[int, span("0", "500", "worms")] | None = None
    infiltration_min_per_in: Annotated[Decimal, span("0", "1440", "min/in")] | None = None


@dataclass(frozen=True, slots=True)
class LeafDepth(Body):
    """Leaf depth at one stop."""

    depth_in: DepthIn
    layer: Literal["fresh", "rained", "settled", "frozen"]
    spread: UUID | None = None
    pass_: Annotated[int, span("1", "50", "")] | None = None
    frame_ft2: Annotated[Decimal, span("0.1", "100", "ft2")] | None = None
    wet_lb: Annotated[Decimal, span("0", "500", "lb")] | None = None
    dry_pct: Percent | None = None


@dataclass(frozen=True, slots=True)
class Ground(Body):
    """Wet or frozen?"""

    state: Literal["frozen", "dry", "moist", "wet", "standing_water", "snow"]
    frost_in: Annotated[Decimal, span("0", "60", "in")] | None = None
    thawed_in: Annotated[Decimal, span("0", "60", "in")] | None = None
    snow_in: Annotated[Decimal, span("0", "120", "in")] | None = None
    snow_packed: bool | None = None
    thread: Literal["crumbles", "edge", "rolls", "smears"] | None = None
    thread_depth_in: DepthIn | None = None
    soil_f: Annotated[Decimal, span("-20", "130", "F")] | None = None
    soil_f_depth_in: DepthIn | None = None
    axle_tons: Annotated[Decimal, span("0", "40", "tons")] | None = None
    tire_psi: Annotated[Decimal, span("1", "150", "psi")] | None = None
    rain_in: Annotated[Decimal, span("0", "20", "in")] | None = None
