"""Which fields, parts and piles an entry touches, and which entries it speaks of: what a fold must be done
again for.

A field's status depends on the facts in force whose field it is (or whose part is one of its parts), on the
loads and moves that name it or one of its parts, and on the land entries about it. A pile's depends on what
was sent to it, drawn out of it and checked on it. An entry that speaks of another (a correction, a strike, a
reading) touches what that one touches, before and after: unite ``touches`` over the group.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from uuid import UUID

from shared.status.fact import Fact
from shared.words.bodies import Body
from shared.words.bodies.desk import Land
from shared.words.bodies.gate import Load, PileCheck
from shared.words.bodies.reading import Correction, Reading
from shared.words.bodies.told import Note
from shared.words.bodies.work import Work
from shared.words.entry import Entry


def touches(entry: Entry | Fact) -> frozenset[UUID]:
    """The ids of fields, parts and piles that an entry or fact names itself (a draw's source may also be
    a load). Empty for one that names no ground."""
    named = {one for one in (entry.field, entry.part) if one is not None}
    return frozenset(named.union(_named_by(entry.body)))


def touches_of(entries: Iterable[Entry | Fact]) -> frozenset[UUID]:
    """What a group of entries that speak of each other touches."""
    return frozenset().union(*(touches(one) for one in entries))


def speaks_of(entry: Entry) -> frozenset[UUID]:
    """The entries that an entry speaks of: what it names, marks or comes again of."""
    named = {entry.names} if entry.names is not None else set()
    body = entry.body.body if isinstance(entry.body, Correction) else entry.body
    if isinstance(body, Reading):
        named |= set(body.entries)
    elif isinstance(body, Load) and body.again_of is not None:
        named.add(body.again_of)
    elif isinstance(body, Note) and body.about is not None:
        named.add(body.about)
    return frozenset(named)


def _named_by(body: Body) -> Iterator[UUID]:
    if isinstance(body, Correction):
        yield from _named_by(body.body)
    elif isinstance(body, Load):
        yield from (place for place, _ in body.to)
    elif isinstance(body, PileCheck):
        yield body.pile
    elif isinstance(body, Work):
        yield from body.from_ or ()
        if body.to is not None:
            yield body.to
    elif isinstance(body, Land):
        yield from (body.subject, *(body.before or ()))
        if body.in_field is not None:
            yield body.in_field
