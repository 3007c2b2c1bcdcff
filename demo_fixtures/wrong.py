"""What is wrong on purpose: a slip of the thumb, a load written twice, a wrong field, two that corrected one entry,
lines that can't be read. (The fast clock is in ``clocks``; the depth over the cap in ``leaves``.)"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from demo_fixtures import gate
from demo_fixtures.fact import KIND_OF, Fact
from demo_fixtures.people import DESK, OWNER, TALLIER, TOBIN
from demo_fixtures.season import Season, next_workday, on
from demo_fixtures.walk import spots
from shared.words.bodies.reading import Correction, Strike
from shared.words.bodies.walked import Cover, LeafDepth, Weeds

SLIPPED = (("plum_lot", -1, 8), ("long_twelve", 0, 9))
"""Rounds in which 62.0 was typed as 620: field, years, month."""


def spoiled(season: Season, facts: list[Fact]) -> list[Fact]:
    """The season with its mistakes in it and what was done about them."""
    out = list(facts)
    for plot, years, month in SLIPPED:
        out = _slip_of_the_thumb(season, out, plot, years, month)
    return out + _written_twice(season) + _off_the_field(season) + _crossed(season, out) + _unsound(season)


def _slip_of_the_thumb(season: Season, facts: list[Fact], plot: str, years: int, month: int) -> list[Fact]:
    """The tallest stop of the round's last walk is typed without its decimal mark, and mended at the hedge."""
    mine = [
        one
        for one in facts
        if isinstance(one.body, Cover)
        and one.plot == plot
        and (one.at.year - season.year, one.at.month) == (years, month)
    ]
    slipped = max((one for one in mine if one.stop in (5, 6, 7)), key=lambda one: (one.at.date(), one.stop))
    assert isinstance(slipped.body, Cover)
    typed = replace(slipped, body=replace(slipped.body, height_in=Decimal(620)))
    mended = Correction("cover", replace(slipped.body, height_in=Decimal("62.0")), "620 typed for 62.0")
    note = _about(season, typed, mended, ("mended", *typed.key), typed.at + timedelta(minutes=21))
    return [typed if one is slipped else one for one in facts] + [note]


def _about(
    season: Season, named: Fact, body: Correction | Strike, key: tuple[object, ...], at: object
) -> Fact:
    return replace(named, key=key, at=at, body=body, names=named.id(season), scribble=None)  # type: ignore[arg-type]


def _written_twice(season: Season) -> list[Fact]:
    out = []
    for years in gate.TURNS:
        for load in gate.loads(season, years):
            if load.double:
                named = load.fact(season)
                body = Strike("load", "written twice")
                out.append(
                    Fact(
                        ("strike", *load.key),
                        load.at + timedelta(minutes=3),
                        "gate",
                        TALLIER,
                        body,
                        names=named.id(season),
                    )
                )
    return out


def _off_the_field(season: Season) -> list[Fact]:
    """The field was chosen by hand, and another was stood in."""
    depth = LeafDepth(Decimal("4.6"), "fresh")
    cover = Cover("sorghum_sudan", Decimal(24), "none")
    return [
        Fact(("off", "depth"), on(next_workday(season.day(0, 11, 12)), 11, 8), "yellow", TOBIN, depth,
             "hedge_strip", spots("lower_rest", 10)[4]),
        Fact(("off", "cover"), on(next_workday(season.day(0, 6, 25)), 11, 8), "yellow", TOBIN, cover,
             "crow_bank", spots("spring_piece", 10)[6]),
    ]  # fmt: skip


def _crossed(season: Season, facts: list[Fact]) -> list[Fact]:
    """Whoever walked it and the owner each mend the same stop, and neither names the other's mending."""
    rounds = [
        one for one in facts if isinstance(one.body, Weeds) and one.plot == "kiln_corner" and one.stop == 4
    ]
    out = []
    for month in (6, 9):
        named = next(one for one in rounds if (one.at.year, one.at.month) == (season.year, month))
        assert isinstance(named.body, Weeds)
        kind = KIND_OF[Weeds]
        first = Correction(kind, replace(named.body, classes=("5-25", "5-25")), "read the frame again")
        second = Correction(
            kind, replace(named.body, classes=("trace", "1-5")), "looked at the same spot at noon"
        )
        out.append(_about(season, named, first, ("crossed", month, 1), named.at + timedelta(minutes=34)))
        owners = _about(season, named, second, ("crossed", month, 2), on(named.at.date(), 20, 48))
        out.append(replace(owners, phone=DESK, by=OWNER, spot=None))
    return out


def _unsound(season: Season) -> list[Fact]:
    """Lines that are held: a figure without its quotes, a key that nobody knows, a line cut off in the middle."""
    cover = Cover("sorghum_sudan", Decimal(27), "none")
    depth = LeafDepth(Decimal("5.2"), "fresh")
    return [
        _held(season, (0, 6, 24), "crow_bank", cover, lambda raw: raw.replace(b'"27"', b"27.0")),
        _held(
            season,
            (0, 11, 17),
            "quarry_side",
            depth,
            lambda raw: raw.replace(b'"layer"', b'"sky":"dry","layer"'),
        ),
        _held(season, (0, 11, 19), "hedge_strip", depth, lambda raw: raw[: len(raw) * 2 // 3]),
    ]


def _held(
    season: Season, when: tuple[int, int, int], plot: str, body: Cover | LeafDepth, scribble: object
) -> Fact:
    at = on(next_workday(season.day(*when)), 16, 30)
    return Fact(("held", *when), at, "yellow", TOBIN, body, plot, spots(plot, 10)[1], scribble=scribble)  # type: ignore[arg-type]
