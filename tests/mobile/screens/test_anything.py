"""Nonsense on the glass: strange entries and strange land are shown by every screen, and every tap still answers."""

from __future__ import annotations

from pathlib import Path
from uuid import UUID

from mobile.app import SCREENS
from tests.mobile.farmland import KILN_BOTTOM, OUTLINES, TRUCKS
from tests.mobile.nonsense import kept, strange_entries, strange_land
from tests.mobile.stage import Stage

ENTRIES = 60
FIELDS = 40
HAND_FREE = SCREENS.keys() - {
    *("entry", "round", "load_correct", "in_place", "ticket", "found"),
    *("agreed", "turn_back", "closer", "load_to", "first_run", "who"),
}


def test_every_screen_shows_them_and_goes_on(tmp_path: Path) -> None:
    stage = Stage(tmp_path)
    strange_land(stage.farm, FIELDS)
    stage.joined("es")
    person = next(one for one in stage.farm.people if one.language == "es")
    kept(stage.phone, stage.enrolment, strange_entries(11, ENTRIES, person.id, list(OUTLINES)))
    with stage:
        for name in sorted(HAND_FREE):
            stage.go(name)
            assert stage.screen == name
        stage.stand(80, -70)
        stage.go("here")
        stage.hand.reach("here.cover")
        stage.go("gate")
        stage.hand.reach(f"gate.truck.{TRUCKS[0]}")
        stage.go("gate_count")
        reads_what_was_written(stage)
        writes_on(stage)


def reads_what_was_written(stage: Stage) -> None:
    assert stage.app is not None
    stage.go("wrote")
    rows = [line.key for line in stage.app.presenters["wrote"].view().lines]
    for key in [one for one in rows if "-" in one][:8]:
        stage.app.session.facts["entry"] = UUID(key)
        stage.go("entry")
        if stage.app.presenters["entry"].view().save:
            stage.hand.tap("entry.save")
        stage.go("wrote")
    stage.hand.reach("wrote.older")


def writes_on(stage: Stage) -> None:
    """After all that a note is written as ever."""
    assert stage.app is not None
    stage.app.session.facts["field"] = KILN_BOTTOM
    stage.go("note")
    before = len(stage.bodies("note"))
    stage.hand.type("note.text", "la puerta cuelga")
    stage.hand.tap("note.save")
    assert len(stage.bodies("note")) == before + 1
