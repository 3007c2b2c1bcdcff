"""What was measured of a field over the years, as plots: each with its interval and what it is judged by."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from server.ahead.expected import grown_since
from server.ahead.growth import SSG_GROWTH
from server.web.desk import Desk
from server.web.plots import Frame, Measured, Plot, plot
from shared.languages import say
from shared.reckoning.bands import Band, Bands, firm_bands, weed_bands
from shared.reckoning.mowing import MOW_AT_IN
from shared.status.field_status import FieldStatus
from shared.status.field_year import FieldYear as YearValue
from shared.status.field_year import RoundWalked
from shared.status.rounds import cover_round, depth_round, firm_round, weed_round
from shared.units import Source


@dataclass(frozen=True, slots=True)
class Drawing:
    """A plot with its title, the word at its level, and what its bands or curves are from (``by`` is a sentence)."""

    title: str
    plot: Plot
    level_word: str = ""
    by: str = ""


LEAST_TOP_IN = 6.0
LEAST_LAYER_IN = 18.0


def plots_of(
    desk: Desk, stands: FieldStatus, years: Sequence[YearValue], cap_in: float | None = None
) -> list[Drawing]:
    """The plots that the field has figures for; leaf depth is judged by the cap in force."""
    rounds = [each for year in years for each in year.rounds]
    of = desk.language
    mow = Frame(MOW_AT_IN.value, MOW_AT_IN.value)
    cap = Frame(cap_in, cap_in or LEAST_TOP_IN)
    drawn = [
        season_of_cover(desk, stands, years, rounds),
        _drawn(of, "covers", plot(_of(rounds, _cover), mow), "mow_level", MOW_AT_IN.source),
        _drawn(of, "weed_cover", *_banded(of, _of(rounds, _weeds), weed_bands(), 10.0)),
        _drawn(of, "hard_points", *_banded(of, _of(rounds, _hard), firm_bands(), 100.0)),
        _drawn(of, "hard_layer", plot(_of(rounds, _layer), Frame(least_top=LEAST_LAYER_IN, down=True))),
        _drawn(of, "leaf_yards", plot(_leaves(years), Frame(least_top=100.0))),
        _drawn(of, "leaf_covered", plot(_of(rounds, _depth), cap), _cap_word(cap_in)),
    ]
    return [one for one in drawn if one is not None]


def season_of_cover(
    desk: Desk, stands: FieldStatus, years: Sequence[YearValue], rounds: Sequence[RoundWalked]
) -> Drawing | None:
    """The rounds of the last smother crop over the height that was looked for since it was sown or cut."""
    grown = grown_since(desk.farm.id, stands, [job for year in years for job in year.jobs], desk.today)
    if grown is None:
        return None
    seen = [one for one in _of(rounds, _cover) if grown.since <= one[0] <= grown.until]
    made = plot(seen, Frame(MOW_AT_IN.value, MOW_AT_IN.value, curves=grown.stretches))
    return _drawn(desk.language, "cover_of_season", made, "mow_level", SSG_GROWTH, "curve_by")


def _cap_word(cap_in: float | None) -> str:
    return "cap_level" if cap_in else ""


def _banded(
    language: str, measured: Sequence[Measured], bands: Bands, least_top: float
) -> tuple[Plot | None, str, Source]:
    frame = Frame(least_top=least_top, bands=worded(language, bands))
    return plot(measured, frame), "", bands.source


def worded(language: str, bands: Bands) -> list[tuple[Band, str]]:
    return [(one, say(language, f"plots.band.{one.word}")) for one in bands.bands]


def told_by(language: str, source: Source, key: str = "judged_by") -> str:
    """What a plot is judged by, and that it is from memory where it is."""
    by = say(language, f"plots.{key}", source=source.title)
    return f"{by} {say(language, 'plots.from_memory')}" if source.standing == "memory" else by


def _drawn(
    language: str,
    key: str,
    made: Plot | None,
    level: str = "",
    source: Source | None = None,
    by: str = "judged_by",
) -> Drawing | None:
    if made is None:
        return None
    word = say(language, f"pages.plot.{level}") if level else ""
    named = key in ("cover_of_season", "hard_layer")
    title = say(language, f"plots.{key}" if named else f"pages.plot.{key}")
    return Drawing(title, made, word, told_by(language, source, by) if source is not None else "")


def _layer(walked: RoundWalked) -> Measured | None:
    """Where the hard layer begins, with the stretch down to where it ends."""
    found = firm_round(walked)
    if found is None or found.top_in is None:
        return None
    return (found.on, found.top_in, found.top_in, found.bottom_in)


def _of(rounds: Iterable[RoundWalked], read: Callable[[RoundWalked], Measured | None]) -> Sequence[Measured]:
    return sorted(found for one in rounds if (found := read(one)) is not None)


def _cover(walked: RoundWalked) -> Measured | None:
    found = cover_round(walked)
    return None if found is None else (found.on, found.mean_in, found.low_in, found.high_in)


def _weeds(walked: RoundWalked) -> Measured | None:
    found = weed_round(walked)
    if found is None or found.mean_pct is None:
        return None
    return (found.on, found.mean_pct, found.low_pct, found.high_pct)


def _hard(walked: RoundWalked) -> Measured | None:
    found = firm_round(walked)
    if found is None or found.over_pct is None:
        return None
    return (found.on, found.over_pct, found.low_pct, found.high_pct)


def _depth(walked: RoundWalked) -> Measured | None:
    """On covered ground, as the cap is judged (R1)."""
    found = depth_round(walked)
    if found is None or found.mean_covered_in is None:
        return None
    verdict = found.verdict(LEAST_TOP_IN)
    return (found.on, found.mean_covered_in, verdict.low_in, verdict.high_in)


def _leaves(years: Iterable[YearValue]) -> Sequence[Measured]:
    """Truck yards of each leaf season (July to June), on its last day."""
    seasons: dict[int, tuple[date, float]] = defaultdict(lambda: (date.min, 0.0))
    for one in (sent for year in years for sent in year.sent):
        season = one.on.year if one.on.month >= 7 else one.on.year - 1
        last, yards = seasons[season]
        seasons[season] = (max(last, one.on), yards + float(one.yards_yd3))
    return [(last, yards, None, None) for _, (last, yards) in sorted(seasons.items())]
