"""What was measured of a field over the years, as plots: each with its interval and what it is judged by."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from server.status.models import FieldYear
from server.web.desk import Desk
from server.web.plots import Measured, Plot, plot
from shared.languages import say
from shared.reckoning.mowing import MOW_AT_IN
from shared.status.field_year import FieldYear as YearValue
from shared.status.field_year import RoundWalked
from shared.status.rounds import cover_round, depth_round, firm_round, weed_round


@dataclass(frozen=True, slots=True)
class Drawing:
    """A plot with its title and the word at its level."""

    title: str
    plot: Plot
    level_word: str = ""


def plots_of(desk: Desk, field: UUID, cap_in: float | None = None) -> list[Drawing]:
    """The plots that the field has figures for; leaf depth is judged by the cap in force."""
    found = FieldYear.objects.filter(farm_id=desk.farm.id, field=field).order_by("year")
    years = [YearValue.from_tree(row.gathered) for row in found]
    rounds = [each for year in years for each in year.rounds]
    say_of = desk.language
    drawn = [
        _drawn(say_of, "covers", plot(_of(rounds, _cover), MOW_AT_IN.value, MOW_AT_IN.value), "mow_level"),
        _drawn(say_of, "weed_cover", plot(_of(rounds, _weeds), least_top=10.0)),
        _drawn(say_of, "hard_points", plot(_of(rounds, _hard), 50.0, 100.0), "act_level"),
        _drawn(say_of, "leaf_yards", plot(_leaves(years), least_top=100.0)),
        _drawn(
            say_of,
            "leaf_covered",
            plot(_of(rounds, _depth), cap_in, cap_in or LEAST_TOP_IN),
            _cap_word(cap_in),
        ),
    ]
    return [one for one in drawn if one is not None]


LEAST_TOP_IN = 6.0


def _cap_word(cap_in: float | None) -> str:
    return "cap_level" if cap_in else ""


def _drawn(language: str, key: str, made: Plot | None, level: str = "") -> Drawing | None:
    if made is None:
        return None
    return Drawing(
        say(language, f"pages.plot.{key}"), made, say(language, f"pages.plot.{level}") if level else ""
    )


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
