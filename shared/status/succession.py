"""What a field was goes on in the fields that came of it: cut ground takes its share, joined ground all.

A stop with a position goes to the ground that it lies on; yards and acres go by the share of the ground. Legs and
outlines are not handed on: whoever cut or joined the fields wrote them anew.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from uuid import UUID

from shared.reckoning.land import contains
from shared.status.fact import Fact
from shared.words.bodies import Body
from shared.words.bodies.gate import Load
from shared.words.bodies.work import Work
from shared.words.place import Outline

WRITTEN_ANEW = ("leg", "land", "plan")
EXACT = Decimal("0.001")


def share_of(new_ac: float | None, old_ac: float | None) -> Decimal:
    """How much of what lies on the old ground lies on the new: at most all of it, all where acres aren't known."""
    if not new_ac or not old_ac:
        return Decimal(1)
    return min(Decimal(1), Decimal(repr(new_ac / old_ac)))


def handed_on(
    facts: Iterable[Fact], old: UUID, new: UUID, share: Decimal, outline: Outline | None
) -> list[Fact]:
    """The facts of an old field as those of a new one that lies on ``share`` of its ground."""
    kept = (one for one in facts if one.kind not in WRITTEN_ANEW and _lies_on(one, outline))
    return [
        replace(one, field=new if one.field == old else one.field, body=_body(one.body, old, new, share))
        for one in kept
    ]


def _lies_on(fact: Fact, outline: Outline | None) -> bool:
    """A stop off the new ground stays behind; a load, and what has no position, comes along."""
    if fact.at is None or outline is None or fact.stop is None:
        return True
    return contains((float(fact.at.lat), float(fact.at.lon)), outline)


def _body(body: Body, old: UUID, new: UUID, share: Decimal) -> Body:
    if isinstance(body, Load):
        to = tuple((new, _part(yards, share)) if place == old else (place, yards) for place, yards in body.to)
        return replace(body, to=to)
    if isinstance(body, Work):
        yards = _part(body.yards_yd3, share) if body.yards_yd3 is not None else None
        acres = _part(body.area_ac, share) if body.area_ac is not None else None
        return replace(body, to=new if body.to == old else body.to, yards_yd3=yards, area_ac=acres)
    return body


def together(facts: Iterable[Fact]) -> list[Fact]:
    """Shares of one fact that came by several old fields as the one fact that they are."""
    out: dict[UUID, Fact] = {}
    for one in facts:
        other = out.get(one.id)
        out[one.id] = one if other is None else replace(one, body=_sum(other.body, one.body))
    return list(out.values())


def _sum(a: Body, b: Body) -> Body:
    if isinstance(a, Load) and isinstance(b, Load):
        rest = dict(a.to)
        to = tuple((place, yards + rest.get(place, Decimal(0))) for place, yards in b.to)
        return replace(b, to=to)
    if isinstance(a, Work) and isinstance(b, Work):
        return replace(b, yards_yd3=_plus(a.yards_yd3, b.yards_yd3), area_ac=_plus(a.area_ac, b.area_ac))
    return b


def _plus(a: Decimal | None, b: Decimal | None) -> Decimal | None:
    return a + b if a is not None and b is not None else b


def _part(amount: Decimal, share: Decimal) -> Decimal:
    return amount if share == 1 else (amount * share).quantize(EXACT, ROUND_HALF_UP)
