"""What follows from the book made again in steps: ended anywhere and begun again, it ends with the same rows."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import Any

import pytest

from server.book import reads as book
from server.config.commands import run
from server.status import fields, models, rebuilding
from server.status.following import followed
from server.status.rebuilding import rebuilt
from server.status.writes import rebuild
from shared.words.bodies.reading import Correction, Reading, Strike
from shared.words.bodies.work import Work
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, fresh_id
from tests.server.web.farmyard import Farmyard

KEPT = (models.FieldYear, models.Touch, models.Marking, models.Pictured, models.Verdict, models.Standing)
WITHOUT = {"id", "turn"}


def rows_that_follow(farm: Any) -> dict[str, list[str]]:
    """All that follows from the book, but for the order in which it was written."""
    told = {}
    for model in (*KEPT, models.Due, models.Asked):
        rows = model._base_manager.filter(farm_id=farm).values()
        told[model.__name__] = sorted(
            str([(key, row[key]) for key in sorted(row) if key not in WITHOUT]) for row in rows
        )
    return told


@pytest.fixture
def yard(ground: Ground, now: Clock) -> Farmyard:
    """A farm on which things were corrected, struck, held, asked about and initialled."""
    yard = Farmyard.of(ground, now())
    upper, acre = ground.fields
    yard.leg(upper, "leaf", now().date())
    rows = yard.loads(6, upper)
    yard.cover_round(acre, ["20", "22", "31"])
    yard.write(Strike("load", "written twice"), names=rows[0].entry, by=ground.owner)
    less = replace(book.entry_of(rows[1]).body, to=((acre, Decimal(20)),))  # type: ignore[union-attr]
    yard.write(Correction("load", less, "went to the other"), names=rows[1].entry, by=ground.owner)
    yard.write(Work("spread", yards_yd3=Decimal(40)), field=upper)
    marked = Reading(tuple(row.entry for row in rows[2:5] if row.entry), "initialled", False)
    yard.write(marked, by=ground.owner)
    phone = HandPhone.join(ground, now())
    phone.write(field=fresh_id())
    phone.write(field=upper)
    phone.push()
    followed(ground.farm.id, now())
    return yard


@pytest.fixture(autouse=True)
def small_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rebuilding, "ROWS_AT_ONCE", 7)
    monkeypatch.setattr(rebuilding, "FIELDS_AT_ONCE", 1)


def turns_of(yard: Farmyard) -> list[tuple[str, int]]:
    several = (models.Standing, models.Verdict, models.Due)
    return [
        (one.__name__, turn)
        for one in several
        for turn in one._base_manager.filter(farm_id=yard.farm).order_by("id").values_list("turn", flat=True)
    ]


def emptied(yard: Farmyard) -> None:
    for model in KEPT:
        model._base_manager.filter(farm_id=yard.farm).delete()


def test_all_that_follows_is_the_same_made_again_from_nothing(yard: Farmyard, now: Clock) -> None:
    before = rows_that_follow(yard.farm)
    assert all(before[one.__name__] for one in KEPT if one is not models.Pictured)
    emptied(yard)
    rebuild(yard.ground.fresh(), now())
    assert rows_that_follow(yard.farm) == before
    kept = turns_of(yard)
    rebuild(yard.ground.fresh(), now())
    assert rows_that_follow(yard.farm) == before
    assert turns_of(yard) == kept, "what says the same keeps its turn: no phone pulls it anew"


def test_ended_after_any_step_and_begun_again_it_ends_with_the_same_rows(yard: Farmyard, now: Clock) -> None:
    before = rows_that_follow(yard.farm)
    whole = len(list(rebuilt(yard.farm, now())))
    assert whole > 7
    for steps in range(1, whole):
        emptied(yard)
        list(islice(rebuilt(yard.farm, now()), steps))
        assert models.Rebuilding.objects.filter(farm_id=yard.farm).exists()
        rest = len(list(rebuilt(yard.farm, now())))
        assert rest == whole - steps, "nothing that was done is done again"
        assert rows_that_follow(yard.farm) == before


def test_a_step_that_breaks_off_leaves_nothing_half_done(
    yard: Farmyard, now: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = rows_that_follow(yard.farm)
    emptied(yard)
    gathered, left = fields.gather, [1]

    def breaks_off(*told: Any) -> int:
        made = gathered(*told)
        if not left:
            raise KeyboardInterrupt
        left.pop()
        return made

    with monkeypatch.context() as patched:
        patched.setattr(fields, "gather", breaks_off)
        with pytest.raises(KeyboardInterrupt):
            rebuild(yard.ground.fresh(), now())
    assert models.Rebuilding.objects.get().stage == "fields"
    rebuild(yard.ground.fresh(), now())
    assert rows_that_follow(yard.farm) == before


def test_what_is_written_while_it_goes_on_is_told_once(yard: Farmyard, now: Clock) -> None:
    steps = rebuilt(yard.farm, now())
    for _ in islice(steps, 4):
        yard.loads(1, yard.ground.fields[0])
    _drained(steps)
    followed(yard.farm, now())
    told = rows_that_follow(yard.farm)
    emptied(yard)
    rebuild(yard.ground.fresh(), now())
    assert rows_that_follow(yard.farm) == told


def _drained(steps: Iterator[int]) -> None:
    for _ in steps:
        continue


def test_the_command_shows_how_far_it_is(
    yard: Farmyard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    shown = Terminal()
    monkeypatch.setattr(sys, "stderr", shown)
    assert run(["rebuild-status", "--data", str(tmp_path)]) == 0
    assert "Fallow Rise: 100%" in shown.getvalue()
    assert capsys.readouterr().out.startswith("Fallow Rise: ")
