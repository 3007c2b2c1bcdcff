"""Whatever sound entry stands in the phone's book, and whatever land the server sent, no page stops at it."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from mobile.actions.hand_in import hand_in
from mobile.app import SCREENS, _brought
from mobile.presenters.entry import PAGES
from mobile.presenters.measures import MEASURES
from tests.mobile.farmland import OUTLINES, TRUCKS, spot
from tests.mobile.nonsense import kept, strange_entries, strange_land
from tests.mobile.presenters.desk import Desk

ENTRIES = 180
ASKS_FOR_MORE = {
    "entry",
    "round",
    "load_correct",
    "in_place",
    "ticket",
    "found",
    "agreed",
    "turn_back",
    "closer",
    "load_to",
}
"""Pages that are only reached with something in hand: each is opened on its way below."""


def page(desk: Desk, name: str, **facts: Any) -> Any:
    return desk.opened(_brought("presenters", SCREENS[name][1])(desk.session), **facts)


def opens_everything(desk: Desk) -> None:
    for name in SCREENS.keys() - ASKS_FOR_MORE:
        page(desk, name).view()
    stands_in_each_field(desk)
    reads_all_that_was_written(desk)
    counts_at_the_gate(desk)
    for job in ("spread", "move", "mow", "seed", "spray"):
        page(desk, "work", field=None, job=job).view()
    for measure in MEASURES:
        walks(desk, measure)


def stands_in_each_field(desk: Desk) -> None:
    for x, y in ((80, 60), (240, 60), (60, -70), (220, -60), (5, 0), (900, 900)):
        desk.receiver.stand(*spot(x, y))
        here = page(desk, "here")
        here.view()
        here.tap("which")
        here.view()
    here.tap(f"field.{next(iter(OUTLINES))}")
    here.view()
    here.cant_today()
    here.view()
    here.open_due()


def reads_all_that_was_written(desk: Desk) -> None:
    wrote = page(desk, "wrote")
    seen = set()
    while True:
        rows = [line.key for line in wrote.view().lines if not getattr(line, "plain", True)]
        seen |= {key for key in rows if "." not in key and key != "older"}
        if "older" not in rows:
            break
        wrote.tap("older")
    assert len(seen) > ENTRIES // 4
    for key in sorted(seen):
        reads_one(desk, UUID(key))


def reads_one(desk: Desk, id: UUID) -> None:
    entry = page(desk, "entry", entry=id)
    shown = entry.view()
    if shown.extra:
        entry.extra()
        entry.view()
        entry.back()
    if not shown.save:
        return
    entry.save()
    assert desk.shown[-1] in PAGES.values()
    right = page(desk, desk.shown[-1])
    right.view()
    right.pick("corrected_for", "misread")
    right.save()
    right.view()


def counts_at_the_gate(desk: Desk) -> None:
    count = page(desk, "gate_count")
    for line in count.view().lines:
        if line.key.startswith("town."):
            count.tap(line.key)
            page(desk, "agreed").view()
        elif line.key.startswith("load."):
            count.tap(line.key)
            page(desk, "ticket").view()
            page(desk, "found", load=UUID(line.key.removeprefix("load."))).view()
    gate = page(desk, "gate")
    for truck in TRUCKS:
        gate.tap_truck(str(truck))
        gate.view()
    for name in ("turn_back", "closer", "load_to"):
        gate.turn_back(str(TRUCKS[0]))
        page(desk, name).view()


def walks(desk: Desk, measure: str) -> None:
    for field in OUTLINES:
        walk = page(desk, "round", round={"field": field, "measures": (measure,)})
        walk.view()
        for ask in MEASURES[measure].once:
            walk.pick(ask.key, ask.options[0])
        walk.save()
        walk.view()


@pytest.mark.parametrize(("seed", "language"), [(41, "en"), (3, "es")])
def test_no_sound_entry_stops_a_page(tmp_path: Path, seed: int, language: str) -> None:
    desk = Desk(tmp_path, language)
    person = desk.session.person
    assert person is not None
    kept(desk.phone, desk.session.enrolment, strange_entries(seed, ENTRIES, person.id, list(OUTLINES)))
    opens_everything(desk)


def test_no_land_that_the_server_sends_stops_a_page(tmp_path: Path) -> None:
    desk = Desk(tmp_path)
    ids = strange_land(desk.farm)
    hand_in(desk.phone, desk.session.enrolment)
    person = desk.session.person
    assert person is not None
    assert len(desk.phone.book.values(desk.session.enrolment, "fields")) > len(ids)
    kept(desk.phone, desk.session.enrolment, strange_entries(7, 60, person.id, ids[:40]))
    for name in SCREENS.keys() - ASKS_FOR_MORE:
        page(desk, name).view()
    stands_in_each_field(desk)
    for id in ids[:30]:
        page(desk, "here").tap(f"field.{id}")
        page(desk, "round", round={"field": id, "measures": ("cover",)}).view()
        page(desk, "work", field=id, job="spread").view()
        page(desk, "ground", field=id).view()
        page(desk, "reckoner", field=id).view()
