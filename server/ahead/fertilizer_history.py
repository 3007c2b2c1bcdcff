"""A field's entries as fertilizer is reckoned from them: its soil test, leaves, covers, hay, what was spread."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from server.status.models import FieldYear
from shared.ahead.fertilizer_amount import Amount, exactly
from shared.ahead.fertilizer_need import Gap
from shared.ahead.fertilizer_shifts import (
    N_WINDOW_DAYS,
    CoverStood,
    HayTaken,
    Leaves,
    Shift,
    Spread,
    of_cover,
    of_hay,
    of_leaves,
    of_spread,
)
from shared.ahead.fertilizer_soil import SoilAnswer
from shared.ahead.fertilizer_tables import plain
from shared.errors import InputError
from shared.reckoning.cover import sample_biomass
from shared.reckoning.litter import leaf_dry_matter
from shared.status.field_status import FieldStatus
from shared.status.field_year import FieldYear as YearValue
from shared.status.job_done import JobDone
from shared.status.soil import Tested, plain_figures, tested
from shared.units import LB_PER_TON

YEARS_BACK = 6
BALED_WITHIN = timedelta(days=14)
"""Hay that is cut is baled within two weeks, or was not carried off as far as the book says."""
COVER_YEARS = timedelta(days=400)
PUT_ON = ("fertilize", "manure", "compost")
READ = ("year", "jobs", "bagged", "answered")
NAMES = {
    "p": frozenset(("p", "phosphorus", "fosforo", "fósforo")),
    "k": frozenset(("k", "potassium", "potasio")),
    "n": frozenset(("n", "nitrogen", "total n", "nitrogeno", "nitrógeno")),
    "dry": frozenset(("dry matter", "dm", "dry", "materia seca")),
    "moisture": frozenset(("moisture", "humedad")),
}


@dataclass(frozen=True, slots=True)
class History:
    """What the book says of one field: how it stands, its years, its acres."""

    field: UUID
    name: str
    acres: float
    status: FieldStatus
    years: tuple[YearValue, ...]

    @property
    def jobs(self) -> list[JobDone]:
        return sorted((job for one in self.years for job in one.jobs), key=lambda one: one.rank)

    def answer(self, by: date) -> SoilAnswer | None:
        """The newest soil test that was bagged by a day and has an answer."""
        found = [one for one in tested(self.years, "soil") if one.on <= by]
        return _soil_answer(found[-1]) if found else None

    def hay_tons(self, year: int) -> float | None:
        """Tons an acre baled in a year, None where none was."""
        baled = [one for one in self.jobs if one.job == "bale" and one.on.year == year]
        tons = [_tons(one) for one in baled]
        return sum(one for one in tons if one) / self.acres if any(tons) and self.acres else None


def years_of(farm: UUID, today: date) -> dict[UUID, list[YearValue]]:
    """The last years of every field, with no more read of them than fertilizer asks for."""
    out: dict[UUID, list[YearValue]] = {}
    rows = FieldYear.objects.filter(farm_id=farm, year__gte=today.year - YEARS_BACK).order_by("year")
    for row in rows:
        tree = {key: row.gathered[key] for key in READ if key in row.gathered}
        out.setdefault(row.field, []).append(YearValue.from_tree(tree))
    return out


def _soil_answer(one: Tested) -> SoilAnswer:
    return SoilAnswer(one.on, one.answered.lab, one.answered.method, plain_figures(one.answered.values))


def measured(
    history: History, planted: date, answer: SoilAnswer | None, today: date
) -> tuple[list[Shift], list[Gap]]:
    """All shifts that entries show for a crop planted on a day, and what is lacking for some of them."""
    sampled = answer.on if answer else None
    by = min(planted, today)
    shifts: list[Shift] = []
    for layer in _leaves(history, planted, by):
        shifts += of_leaves(layer, planted, sampled)
    cover = _cover(history, planted)
    shifts += of_cover(cover) if cover else ()
    hay, gaps = _hay(history, sampled, by)
    for taken in hay:
        shifts += of_hay(taken, sampled)
    for job in history.jobs:
        if job.job in PUT_ON and job.on <= today:
            spread, gap = _spread(job, history.acres, sampled, planted)
            shifts += of_spread(spread, planted, sampled) if spread else ()
            gaps += [gap] if gap else []
    return shifts, list(dict.fromkeys(gaps))


def _leaves(history: History, planted: date, by: date) -> Iterator[Leaves]:
    """The layers of the last years, a leaf season (July to June) each."""
    seasons: dict[int, list[tuple[date, float]]] = {}
    for one in history.status.laid:
        if one.since <= by and one.since.year >= planted.year - YEARS_BACK:
            season = one.since.year if one.since.month >= 7 else one.since.year - 1
            seasons.setdefault(season, []).append((one.since, float(one.yards_yd3)))
    for several in seasons.values():
        on = max(day for day, _ in several)
        tons = dry_tons(sum(yards for _, yards in several) / history.acres) if history.acres else None
        if tons is not None:
            yield Leaves(tons, on, _crop_between(history.status, on, planted))


def dry_tons(yards_per_ac: float) -> Amount | None:
    """Dry tons an acre of so many yards, within their band; None for yards that can't be."""
    try:
        found = leaf_dry_matter(yards_per_ac)
    except InputError:
        return None
    return Amount(found.low_tons, found.high_tons)


def _crop_between(status: FieldStatus, on: date, planted: date) -> bool:
    stood = ("hay", "smother", "cash", "lead_in")
    return any(one.leg in stood and on < one.starts_on < planted for one in status.legs)


def _cover(history: History, planted: date) -> CoverStood | None:
    """The lead-in that stood before a crop, weighed where somebody weighed it."""
    stood = [
        one
        for one in history.status.legs
        if one.leg == "lead_in" and one.crop and planted - COVER_YEARS <= one.starts_on < planted
    ]
    if not stood:
        return None
    last = stood[-1]
    weighed = [one for one in tested(history.years, "biomass") if last.starts_on <= one.on <= planted]
    n_pct, tons = _weighed(weighed[-1]) if weighed else (None, None)
    return CoverStood(last.crop or "", last.starts_on, n_pct, tons)


def _weighed(one: Tested) -> tuple[float | None, float | None]:
    n_pct = figure(one, "n")
    grams, frame = one.bagged.grams, one.bagged.frame_m2
    if n_pct is None or grams is None or frame is None:
        return None, None
    try:
        return n_pct, sample_biomass(float(grams), float(frame)).tons_per_ac
    except InputError:
        return None, None


def figure(one: Tested, name: str) -> float | None:
    """A figure in per cent by its name."""
    found = (
        float(number)
        for told, number, unit in one.answered.values
        if plain(told) in NAMES[name] and unit == "%"
    )
    return next(found, None)


def _hay(history: History, sampled: date | None, by: date) -> tuple[list[HayTaken], list[Gap]]:
    if sampled is None or not history.acres:
        return [], []
    jobs = [one for one in history.jobs if sampled <= one.on <= by]
    out, gaps = [], []
    for job in jobs:
        if job.job == "bale":
            tons = _tons(job)
            if tons is None:
                gaps.append(Gap("no_bales", (("cut_on", job.on.isoformat()),)))
            else:
                p_pct, k_pct = _analysed(history, job.on)
                out.append(HayTaken(exactly(tons / history.acres), job.on, p_pct, k_pct))
        elif job.job == "cut_hay" and not _baled(job, history.jobs):
            gaps.append(Gap("no_bales", (("cut_on", job.on.isoformat()),)))
    return out, gaps


def _baled(cut: JobDone, jobs: Iterable[JobDone]) -> bool:
    return any(one.job == "bale" and cut.on <= one.on <= cut.on + BALED_WITHIN for one in jobs)


def _tons(job: JobDone) -> float | None:
    if job.bales is None or job.bale_lb is None:
        return None
    return job.bales * float(job.bale_lb) / LB_PER_TON.value


def _analysed(history: History, baled: date) -> tuple[float | None, float | None]:
    """P and K in per cent as baled, by the analysis of that year's hay; a dry-matter figure brings them to that."""
    found = [one for one in tested(history.years, "hay") if one.on.year == baled.year]
    if not found:
        return None, None
    one = found[-1]
    dry, moisture = figure(one, "dry"), figure(one, "moisture")
    share = dry / 100.0 if dry is not None else 1.0 - moisture / 100.0 if moisture is not None else 1.0
    p_pct, k_pct = figure(one, "p"), figure(one, "k")
    return (None if p_pct is None else p_pct * share), (None if k_pct is None else k_pct * share)


def _spread(
    job: JobDone, acres: float, sampled: date | None, planted: date
) -> tuple[Spread | None, Gap | None]:
    """What was put on, over the whole field; a gap where its pounds or its analysis were not written."""
    since = planted - timedelta(days=int(N_WINDOW_DAYS.value))
    if job.on < min(since, sampled or since):
        return None, None
    shares = (job.n_pct, job.p2o5_pct, job.k2o_pct)
    if job.material_lb_per_ac is None or all(one is None for one in shares):
        facts = (("job", job.job), ("spread_on", job.on.isoformat()))
        return None, Gap("no_analysis", facts)
    part = min(1.0, float(job.area_ac) / acres) if job.area_ac is not None and acres else 1.0
    lb = float(job.material_lb_per_ac) * part
    n, p2o5, k2o = (float(one or 0) for one in shares)
    return Spread(job.job, job.on, lb, n, p2o5, k2o), None  # type: ignore[arg-type]


def hay_yield(histories: Sequence[History], today: date) -> float | None:
    """Tons an acre a year that this farm baled in the last years, None where no bale was weighed."""
    found = [
        tons
        for one in histories
        for year in range(today.year - 3, today.year + 1)
        if (tons := one.hay_tons(year)) is not None
    ]
    return sum(found) / len(found) if found else None
