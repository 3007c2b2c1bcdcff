"""What the page of fertilizer and lime shows: needs as lines of words, bags, years, lime, what is lacking."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from server.ahead.fertilizer import Bought, FarmFertilizer, LimeNeed, bought_for
from server.ahead.fertilizer_bags import Bags
from server.web import terms
from shared.ahead.fertilizer_amount import NUTRIENTS, Amount, Nutrient
from shared.ahead.fertilizer_need import CropNeed, Gap, NutrientNeed
from shared.ahead.fertilizer_shifts import Shift
from shared.ahead.fertilizer_tables import LimeProduct, Tables
from shared.ahead.fertilizer_years import YearOfFertilizer
from shared.languages import day, figure, say

SYMBOL: dict[Nutrient, str] = {"N": "N", "P2O5": "P₂O₅", "K2O": "K₂O"}
MINUS = "\N{MINUS SIGN}"


@dataclass(frozen=True, slots=True)
class Line:
    """One nutrient of a crop: what the table says an acre, what shifts it, what is still called for an acre and for
    the field, what need not be bought. ``why`` stands where there is no figure, or where none is called for."""

    symbol: str
    plain: str
    shifts: list[str]
    need: str
    field: str
    spared: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Card:
    """A crop in a field."""

    need: CropNeed
    crop: str
    test: str
    lines: list[Line]
    gaps: list[str]
    bags: list[tuple[str, list[str], str]]
    saved: str


@dataclass(frozen=True, slots=True)
class YearLine:
    """A year, or all of them: lb of each nutrient as words, and money. ``parts`` tells entries and plan apart."""

    year: str
    known: str
    cells: list[tuple[str, str, str, str]]
    parts: list[str]
    cost: str
    saved: str


def amount(language: str, found: Amount | None, places: int = 0) -> str:
    """A range in words, one figure where both ends read alike; empty where it is not known."""
    if found is None:
        return ""
    low, high = (_signed(language, one, places) for one in (found.low, found.high))
    return low if low == high else say(language, "fertilizer.range", low=low, high=high)


def _signed(language: str, number: float, places: int) -> str:
    told = figure(language, abs(number), places)
    return MINUS + told if number < 0 and any(sign in "123456789" for sign in told) else told


def money(language: str, found: Amount | float | None) -> str:
    if found is None:
        return ""
    if isinstance(found, float):
        found = Amount(found, found)
    low, high = (_money(language, one) for one in (found.low, found.high))
    return low if low == high else say(language, "fertilizer.range", low=low, high=high)


def _money(language: str, number: float) -> str:
    told = say(language, "fertilizer.money", amount=figure(language, abs(number), 2))
    return MINUS + told if number < -0.005 else told


def cards(language: str, found: FarmFertilizer, needs: Iterable[CropNeed]) -> list[Card]:
    return [card(language, one, found.tables) for one in needs]


def card(language: str, need: CropNeed, tables: Tables) -> Card:
    bought = bought_for(need, tables)
    test = ""
    if need.answer is not None:
        on = day(language, need.answer.on, year=True)
        test = say(language, "fertilizer.test", day=on, lab=need.answer.lab, method=need.answer.method)
    return Card(
        need,
        terms.crop(language, need.crop),
        test,
        [_line(language, one, need) for one in need.nutrients.values()],
        [gap(language, one) for one in need.gaps],
        _bags(language, bought),
        money(language, bought.saved) if bought is not None else "",
    )


def _line(language: str, one: NutrientNeed, need: CropNeed) -> Line:
    rate = one.rate
    plain = "" if one.plain is None else figure(language, one.plain, 0)
    shifts = [] if one.enough else [shift_words(language, each) for each in one.shifts]
    why = ""
    if one.enough and one.level is not None:
        why = say(language, "fertilizer.enough", level=_level(language, one), source=one.level.by)
    elif one.gap is not None:
        why = gap(language, one.gap)
    elif one.level is not None:
        why = _level(language, one)
    source = "" if rate is None else _source(language, rate.source, rate.dated, rate.yield_goal)
    spared = None if one.spared is None or one.enough else one.spared.times(need.acres)
    return Line(
        SYMBOL[one.nutrient],
        plain,
        shifts,
        amount(language, one.need),
        amount(language, need.of_field(one.nutrient)),
        amount(language, spared),
        why,
        source,
    )


def _level(language: str, one: NutrientNeed) -> str:
    assert one.level is not None
    word = one.level.word.replace("_", " ")
    value = figure(language, one.level.value)
    return say(
        language, "fertilizer.level", element=one.level.element, value=value, unit=one.level.unit, word=word
    )


def _source(language: str, source: str, dated: date, goal: str) -> str:
    key = "fertilizer.rate_source_goal" if goal else "fertilizer.rate_source"
    return say(language, key, source=source, day=day(language, dated, year=True), goal=goal)


def shift_words(language: str, one: Shift) -> str:
    """What did it, when, how much, how it is known."""
    lb = amount(language, one.lb)
    sign = "takes" if one.takes else "gives"
    how = "measured" if one.measured else "modelled"
    on = "" if one.on is None else day(language, one.on, year=True)
    facts = {"what": say(language, one.why), "lb": lb, "day": on}
    return say(language, f"fertilizer.shift_{sign}_{how}", **facts)


def gap(language: str, one: Gap) -> str:
    facts = {
        name: day(language, date.fromisoformat(text), year=True) if name.endswith("_on") else text
        for name, text in one.facts
    }
    if "crop" in facts:
        facts["crop"] = terms.crop(language, facts["crop"])
    if "job" in facts:
        facts["job"] = say(language, f"fertilizer.job.{facts['job']}")
    return say(language, f"fertilizer.gap.{one.key}", **facts)


def _bags(language: str, bought: Bought | None) -> list[tuple[str, list[str], str]]:
    """At the high end of the need, at its low end where that is another, and by the table alone."""
    if bought is None:
        return []
    out = [("most", bought.most)]
    if bought.least != bought.most:
        out.append(("least", bought.least))
    out.append(("plain", bought.plain))
    return [(key, bag_words(language, bags), money(language, bags.cost) if bags else "") for key, bags in out]


def bag_words(language: str, bags: Bags | None) -> list[str]:
    """Each material with its bags; a word where none is needed, or where the materials can't bring it."""
    if bags is None:
        return [say(language, "fertilizer.no_way")]
    if not bags.counts:
        return [say(language, "fertilizer.no_bags")]
    out = []
    for (one, count), (_, loose) in zip(bags.counts, bags.loose, strict=True):
        facts = {"name": one.name, "grade": one.grade, "bag": figure(language, one.bag_lb), "hundreds": loose}
        out.append(say(language, f"fertilizer.bags.{'one' if count == 1 else 'other'}", count=count, **facts))
    return out + [say(language, "fertilizer.over", nutrient=SYMBOL[one]) for one in bags.over]


def year_lines(language: str, found: FarmFertilizer) -> list[YearLine]:
    """Each year, then all together."""
    out = [_year(language, one, bought) for one, bought in found.bought_by_year]
    if found.whole is not None and len(found.years) > 1:
        out.append(_year(language, found.whole, found.bought(found.whole)))
    return out


def _year(language: str, one: YearOfFertilizer, bought: Bought | None) -> YearLine:
    cost = None if bought is None or not bought.most or not bought.least else (bought.least, bought.most)
    return YearLine(
        str(one.first) if one.first == one.last else f"{one.first}-{one.last}",
        say(language, "fertilizer.known", known=one.known, crops=one.crops),
        [
            (
                SYMBOL[n],
                figure(language, one.plain[n], 0),
                amount(language, one.need[n]),
                amount(language, one.spared[n]),
            )
            for n in NUTRIENTS
        ],
        [_parts(language, one, n) for n in NUTRIENTS],
        money(language, Amount(cost[0].cost, cost[1].cost)) if cost else "",
        money(language, bought.saved) if bought is not None else "",
    )


def _parts(language: str, one: YearOfFertilizer, nutrient: Nutrient) -> str:
    facts = {
        "measured": amount(language, one.measured[nutrient]),
        "modelled": amount(language, one.modelled[nutrient]),
    }
    return say(language, "fertilizer.parts", nutrient=SYMBOL[nutrient], **facts)


@dataclass(frozen=True, slots=True)
class LimeLine:
    need: LimeNeed
    asked: str
    how: str
    products: list[str]


def lime_lines(language: str, found: FarmFertilizer) -> list[LimeLine]:
    return [_lime(language, one, found.tables.limes) for one in found.lime]


def _lime(language: str, one: LimeNeed, products: Sequence[LimeProduct]) -> LimeLine:
    asked = one.asked
    facts = {"lab": one.lab, "day": day(language, one.tested_on, year=True)}
    if asked.how != "stated" and asked.ph is not None and asked.target is not None:
        facts |= {"ph": figure(language, asked.ph, 1), "target": figure(language, asked.target, 1)}
    told = []
    for product in products if asked.tons_per_ac > 0 and one.spread_on is None else ():
        tons, cost = one.of(product)
        told.append(
            say(
                language,
                "fertilizer.lime_product",
                name=product.name,
                tons=figure(language, tons, 1),
                pounds=figure(language, product.lb(asked.tons_per_ac), 0),
                cost=money(language, cost),
            )
        )
    tons_word = say(language, "fertilizer.tons_acre", tons=figure(language, round(asked.tons_per_ac, 2)))
    return LimeLine(one, tons_word, say(language, f"fertilizer.lime_how.{asked.how}", **facts), told)
