"""The land, the legs and the sheets in force, folded from the entries of the desk."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import UUID

from server.book import reads as book
from server.book.models import Row
from server.book.news import News
from server.land import drawing
from server.land.models import Leg, Sheet, Version
from server.people import turns
from server.people.models import Farm
from server.people.reads import hands
from shared.status.fact import Fact
from shared.status.standing import plain, standing
from shared.words.bodies.desk import Land, LegChange, SheetChoice

KINDS = ("land", "leg", "sheet_choice")
SPEAKING = ("correction", "strike", "reading")


def fold(farm: Farm, news: Sequence[News], now: datetime) -> None:
    """Take in new rows of the book. What speaks of an earlier entry makes all of it again; a new fact is added."""
    kinds = {one.kind for one in news}
    if kinds.isdisjoint(KINDS) and kinds.isdisjoint(SPEAKING):
        return
    if not kinds.isdisjoint(SPEAKING) and _speaks_of_land(farm.id, news):
        rebuild(farm)
        return
    desk = hands(farm.id)
    written = [one.written() for one in news if one.kind in KINDS and one.outcome == "kept"]
    facts = [plain(one) for one in written if one is not None and desk.at_desk(one)]
    _take(farm.id, facts)


def _speaks_of_land(farm: UUID, news: Iterable[News]) -> bool:
    for one in news:
        if one.kind in SPEAKING and (written := one.written()) is not None:
            body = written.entry.body
            if getattr(body, "of", None) in KINDS:
                return True
            about = getattr(body, "entries", ()) or ((one.names,) if one.names else ())
            if any(_may_bear_on_land(row) for row in book.of_entries(farm, about)):
                return True
    return False


def _may_bear_on_land(row: Row) -> bool:
    """Whether a row is of the land, or speaks of it. A correction of a weed count that is initialled isn't."""
    if row.kind not in SPEAKING:
        return row.kind in KINDS
    entry = book.entry_of(row)
    of = getattr(entry.body, "of", None) if entry else None
    return of is None or of in (*KINDS, *SPEAKING)


def rebuild(farm: Farm) -> int:
    """Make land, legs and sheets again from the whole book, and answer with how many facts they follow from."""
    written = list(book.all_written(book.of_kinds(farm.id, (*KINDS, *SPEAKING))))
    facts = [one for one in standing(written, hands(farm.id)).in_force if one.kind in KINDS]
    Version.objects.filter(farm_id=farm.id).delete()
    Leg.objects.filter(farm_id=farm.id).delete()
    _forget_sheets(farm.id, {one.body.sheet for one in facts if isinstance(one.body, SheetChoice)})
    drawing.forget(farm.id, {one.body.subject for one in facts if isinstance(one.body, Land)})
    _take(farm.id, facts)
    return len(facts)


def _forget_sheets(farm: UUID, chosen: set[str]) -> None:
    gone = Sheet.objects.filter(farm_id=farm).exclude(sheet__in=chosen)
    turns.remove(farm, "sheets", [(one, one.sheet) for one in gone])


def _take(farm: UUID, facts: Sequence[Fact]) -> None:
    """Facts in the order of the book: of the same ground or sheet the last says how it is now."""
    drawn = [(one, one.body) for one in facts if isinstance(one.body, Land)]
    if drawn:
        drawing.take(farm, drawn)
    Leg.objects.bulk_create(
        [leg_of(farm, one, one.body) for one in facts if isinstance(one.body, LegChange) and one.field]
    )
    chosen = {one.body.sheet: (one, one.body) for one in facts if isinstance(one.body, SheetChoice)}
    changed = [row for one, body in chosen.values() if (row := _sheet(farm, one, body))]
    turns.put(farm, changed)
    turns.back(farm, "sheets", [row.sheet for row in changed])


def leg_of(farm: UUID, fact: Fact, body: LegChange) -> Leg:
    return Leg(
        farm_id=farm,
        field=fact.field,
        part=fact.part,
        leg=body.leg,
        starts_on=body.starts_on,
        crop=body.crop,
        why=body.why,
        entry=fact.id,
        row=fact.number,
    )


def _sheet(farm: UUID, fact: Fact, body: SheetChoice) -> Sheet | None:
    """The sheet's row where it is not so already."""
    row = Sheet.objects.filter(farm_id=farm, sheet=body.sheet).first() or Sheet(
        farm_id=farm, sheet=body.sheet
    )
    if row.pk and (row.in_force, row.starts_on) == (body.in_force, body.starts_on):
        return None
    row.in_force, row.starts_on, row.row = body.in_force, body.starts_on, fact.number or 0
    return row
