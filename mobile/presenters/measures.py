"""What each measure of a round asks: once a round, and at every stop; and the body that it makes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, get_args

from shared.reckoning.cover import SORGHUMS
from shared.status.meaning import GRASSES, STAGES
from shared.words.bodies import Body
from shared.words.bodies.walked import Cover, CoverClass, CoverPlant, Firmness, LeafDepth, Weeds

Figures = Mapping[str, Decimal | None]
Answers = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Slot:
    """A figure of a stop: ``parts``: it may have decimals; ``needed``: the stop is not written without it."""

    key: str
    unit: str
    parts: bool = False
    needed: bool = True


@dataclass(frozen=True, slots=True)
class Ask:
    """A question with its closed list; the words are in the languages under ``<key>.<option>``."""

    key: str
    options: tuple[str, ...]
    needed: bool = True
    across: int = 3
    titled: bool = False
    """Its choices do not speak for themselves: the question stands above them."""
    of: tuple[str, ...] = ()
    """Asked only of these covers; empty: of all."""
    kept: bool = True
    """Whether the last round's answer is offered again. What the day brings is not: a copied answer proves nothing."""


@dataclass(frozen=True, slots=True)
class Measure:
    name: str
    slots: tuple[Slot, ...]
    asks: tuple[Ask, ...]
    once: tuple[Ask, ...]
    body: Callable[[Figures, Answers], Body]


def _cover(figures: Figures, answers: Answers) -> Body:
    height = figures["height_in"]
    assert height is not None
    said: Any = answers
    other = answers.get("other_text") if answers["cover"] == "other" else None
    frost = said.get("frost") if said["cover"] in SORGHUMS else None
    stage = said.get("stage") if said["cover"] in GRASSES else None
    return Cover(
        cover=said["cover"], height_in=height, heads=said["heads"], stage=stage, frost=frost, other_text=other
    )


def _weeds(figures: Figures, answers: Answers) -> Body:
    said: Any = answers
    return Weeds(seed_set=said["seed_set"], scale="cover8", classes=(said["classes"],))


def _firmness(figures: Figures, answers: Answers) -> Body:
    said: Any = answers
    return Firmness(
        cone=said["cone"],
        moisture=said["moisture"],
        where=said["where"],
        peak_psi=figures["peak_psi"],
        top_in=figures.get("top_in"),
        bottom_in=figures.get("bottom_in"),
        stopped=said.get("stopped"),
    )


def _leaf_depth(figures: Figures, answers: Answers) -> Body:
    depth = figures["depth_in"]
    assert depth is not None
    said: Any = answers
    return LeafDepth(depth_in=depth, layer=said["layer"])


MEASURES: dict[str, Measure] = {
    one.name: one
    for one in (
        Measure(
            "cover",
            (Slot("height_in", "in"),),
            (Ask("heads", ("none", "few", "many")),),
            (
                Ask("cover", get_args(CoverPlant), across=2, titled=True),
                Ask("frost", ("none", "light", "killing"), False, titled=True, of=SORGHUMS, kept=False),
                Ask("stage", STAGES, False, titled=True, of=GRASSES, kept=False),
            ),
            _cover,
        ),
        Measure(
            "weeds",
            (),
            (
                Ask("classes", get_args(CoverClass), across=4, titled=True),
                Ask("seed_set", ("none", "some", "much")),
            ),
            (),
            _weeds,
        ),
        Measure(
            "firmness",
            (
                Slot("peak_psi", "psi"),
                Slot("top_in", "in", needed=False),
                Slot("bottom_in", "in", needed=False),
            ),
            (Ask("stopped", ("none", "stone", "hard"), needed=False),),
            (
                Ask("cone", ("half_inch", "three_quarter_inch"), across=2, titled=True),
                Ask("moisture", ("dry", "moist", "ready", "wet"), across=4, titled=True),
                Ask("where", ("body", "lane", "entrance", "end_row"), across=4, titled=True),
            ),
            _firmness,
        ),
        Measure(
            "leaf_depth",
            (Slot("depth_in", "in", parts=True),),
            (),
            (Ask("layer", ("fresh", "rained", "settled", "frozen"), across=2, titled=True),),
            _leaf_depth,
        ),
    )
}
