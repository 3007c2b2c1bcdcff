"""Entries as a page lists them: the stops of one round folded to a line, everything else by itself."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from server.status.models import FieldYear
from server.web.desk import Desk
from server.web.entries import Told
from shared.languages import say
from shared.status.field_year import FieldYear as YearValue
from shared.status.field_year import RoundWalked
from shared.status.rounds import cover_round, depth_round, firm_round, weed_round
from shared.words.bodies.gate import Load

Key = UUID | date
MEASURES = ("cover", "weeds", "firmness", "leaf_depth")


@dataclass(frozen=True, slots=True)
class Story:
    """One line of a list: an entry, or the stops of a round with what they come to. ``sums`` is a sentence a
    measure; ``reasons`` are all that any of its stops has."""

    told: tuple[Told, ...]
    round: UUID | None = None
    titles: tuple[str, ...] = ()
    sums: tuple[str, ...] = ()

    @property
    def folded(self) -> bool:
        return bool(self.titles)

    @property
    def one(self) -> Told:
        return self.told[0]

    @property
    def until(self) -> datetime:
        return max(one.at for one in self.told)

    @property
    def reasons(self) -> list[tuple[str, int]]:
        """Each sort of reason once: the first of it, and at how many further entries there is another."""
        sorts: dict[str, list[str]] = {}
        for one in self.told:
            for sort, text in one.sorts:
                sorts.setdefault(sort, []).append(text)
        return [(texts[0], len(texts) - 1) for texts in sorts.values()]

    @property
    def marks(self) -> list[tuple[str, int]]:
        """Each margin mark among its entries with how many have it."""
        counts: dict[str, int] = {}
        for one in self.told:
            counts[one.read.margin] = counts.get(one.read.margin, 0) + 1
        return sorted(counts.items(), key=lambda item: -item[1])

    @property
    def by(self) -> str:
        return ", ".join(dict.fromkeys(one.by for one in self.told))

    @property
    def unsettled(self) -> list[Told]:
        return [one for one in self.told if not one.read.settled]


@dataclass(slots=True)
class _Gathering:
    """Entries of the stories under way, in the order in which each began."""

    order: list[Told | Key] = field(default_factory=list)
    many: dict[Key, list[Told]] = field(default_factory=dict)


def stories(desk: Desk, told: Sequence[Told], fold_loads: bool = False) -> list[Story]:
    """The entries as stories, in the order in which each story begins; a day's loads are one if so told."""
    gathering = _Gathering()
    for one in told:
        key = _key(one, fold_loads)
        if key is None:
            gathering.order.append(one)
        elif key in gathering.many:
            gathering.many[key].append(one)
        else:
            gathering.many[key] = [one]
            gathering.order.append(key)
    walks = rounds_of(desk, gathering.many, told)
    return [_story(desk, each, gathering.many, walks) for each in gathering.order]


def _key(one: Told, fold_loads: bool) -> Key | None:
    """What an entry is folded by: a stop by its round, a load by its day."""
    row = one.read.row
    if row.kind in MEASURES:
        return row.round
    return row.day if fold_loads and row.kind == "load" else None


def rounds_of(desk: Desk, rounds: Iterable[Key], told: Iterable[Told]) -> Mapping[str, RoundWalked]:
    """These rounds as the status has gathered them, corrections and strikes taken in."""
    wanted = {str(one) for one in rounds if isinstance(one, UUID)}
    there = {(one.read.row.field, one.read.row.day.year) for one in told if one.read.row.day}
    if not wanted:
        return {}
    found = FieldYear.objects.filter(
        farm_id=desk.farm.id, field__in={field for field, _ in there}, year__in={year for _, year in there}
    )
    years = (YearValue.from_tree(row.gathered) for row in found)
    return {one.key: one for year in years for one in year.rounds if one.key in wanted}


def _story(
    desk: Desk,
    each: Told | Key,
    many: Mapping[Key, Sequence[Told]],
    walks: Mapping[str, RoundWalked],
) -> Story:
    if isinstance(each, Told):
        return Story((each,))
    told = tuple(many[each])
    titles = tuple(dict.fromkeys(one.telling.title for one in told if one.telling is not None))
    if isinstance(each, date):
        return Story(told) if len(told) == 1 else Story(told, None, titles, (_loads(desk.language, told),))
    walked = walks.get(str(each))
    return Story(told, each, titles, sums(desk.language, walked) if walked else ())


def _loads(language: str, told: Sequence[Told]) -> str:
    """How many loads of a day were taken, and their truck yards; struck ones are none."""
    bodies = [one.read.entry.body for one in told if one.read.entry is not None and not one.read.struck]
    taken = [body.carried_yd3 for body in bodies if isinstance(body, Load) and body.is_taken]
    return say(language, "reading.loads", count=len(taken), yards=round(sum(taken, Decimal(0)), 1))


def sums(language: str, walked: RoundWalked) -> tuple[str, ...]:
    """What a round comes to, a sentence a measure."""
    out = []
    if (cover := cover_round(walked)) is not None:
        facts = {"count": cover.stops, "mean": round(cover.mean_in), "heads": cover.headed}
        out.append(say(language, f"reading.round.cover{'_heads' if cover.headed else ''}", **facts))
    if (weeds := weed_round(walked)) is not None:
        word = say(language, f"reading.weed_word.{weeds.word}")
        out.append(say(language, "reading.round.weeds", count=weeds.stops, word=word))
    if (firm := firm_round(walked)) is not None:
        key = "firmness" if firm.judged else "firmness_unjudged"
        out.append(
            say(language, f"reading.round.{key}", count=firm.stops, hard=firm.hard, judged=firm.judged)
        )
    if (depth := depth_round(walked)) is not None:
        facts = {"count": depth.stops, "mean": round(depth.mean_in, 1), "covered": round(depth.covered_pct)}
        out.append(say(language, "reading.round.leaf_depth", **facts))
    return tuple(out)
