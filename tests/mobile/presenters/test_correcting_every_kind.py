"""Whatever a phone writes can be put right on it: the page opens filled in, one thing is changed, the first stays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest

from mobile.actions.save_entry import NewEntry, Saved, save_entry
from mobile.app import SCREENS, _brought
from mobile.presenters.entry import PAGES, EntryPresenter
from mobile.presenters.note import NotePresenter
from mobile.presenters.work import WorkPresenter
from mobile.presenters.wrote import WrotePresenter
from mobile.trouble import DiskFull
from shared.words.bodies import DESK_ONLY, KINDS
from shared.words.bodies.gate import AgreedCount, PileCheck
from shared.words.bodies.laboratory import Sample
from shared.words.bodies.reading import Answer
from shared.words.bodies.told import Note, Occurrence, PutOff
from shared.words.bodies.walked import Cover, Firmness, Ground, LeafDepth, Spade, Weeds
from shared.words.bodies.work import Calibrate, Work
from tests.mobile.farmland import FALLOWDALE, KILN_BOTTOM, QUARRY_SIDE, SPRING_PIECE
from tests.mobile.presenters.desk import Desk

NOT_HERE = {"correction", "strike", "result", "weather"}
"""What speaks of another entry, and what only the desk has a page for."""
PILE = UUID(int=0x900)


@dataclass(frozen=True)
class Case:
    """A body with something wrong, the taps that put it right, and what it then says."""

    wrong: Any
    taps: Callable[[Desk, Any], None]
    right: dict[str, Any]
    on: UUID | None = SPRING_PIECE


def keyed(slot: str, figure: str) -> Callable[[Desk, Any], None]:
    def taps(desk: Desk, page: Any) -> None:
        page.pick_slot(slot)
        for _ in page.figures[slot].text:
            page.key("rub")
        desk.key_in(page, figure)

    return taps


def picked(key: str, name: str) -> Callable[[Desk, Any], None]:
    return lambda _, page: page.pick(key, name)


def typed(key: str, text: str) -> Callable[[Desk, Any], None]:
    return lambda _, page: page.write(key, text)


def both(*taps: Callable[[Desk, Any], None]) -> Callable[[Desk, Any], None]:
    def do(desk: Desk, page: Any) -> None:
        for one in taps:
            one(desk, page)

    return do


CASES = {
    "cover": Case(
        Cover("rye", Decimal(31), "none", stage="boot"),
        both(keyed("height_in", "34"), picked("cover", "other"), typed("other_text", "phacelia")),
        {"height_in": Decimal(34), "cover": "other", "other_text": "phacelia", "stage": "boot"},
    ),
    "weeds": Case(
        Weeds("none", "cover8", ("1-5",)),
        picked("classes", "25-50"),
        {"classes": ("25-50",), "seed_set": "none"},
    ),
    "firmness": Case(
        Firmness("half_inch", "moist", "body", peak_psi=Decimal(320), top_in=Decimal(8)),
        both(keyed("peak_psi", "230"), keyed("top_in", "")),
        {"peak_psi": Decimal(230), "top_in": None},
    ),
    "spade": Case(
        Spade("bent", "block", depth_in=Decimal(9), worms=4),
        both(picked("roots", "free"), keyed("worms", "14")),
        {"roots": "free", "worms": 14, "depth_in": Decimal(9)},
    ),
    "pile_check": Case(
        PileCheck(PILE, temp_f=Decimal(114), action="watched"),
        keyed("temp_f", "141"),
        {"temp_f": Decimal(141), "pile": PILE, "action": "watched"},
        None,
    ),
    "leaf_depth": Case(
        LeafDepth(Decimal("6.4"), "fresh"),
        keyed("depth_in", "4.6"),
        {"depth_in": Decimal("4.6"), "layer": "fresh"},
    ),
    "ground": Case(
        Ground("wet", thread="rolls"), picked("state", "frozen"), {"state": "frozen", "thread": None}
    ),
    "work": Case(
        Work("mow", stubble_in=Decimal(16)),
        keyed("stubble_in", "6"),
        {"stubble_in": Decimal(6), "job": "mow"},
    ),
    "calibrate": Case(
        Calibrate("drill", "9", (Decimal(5), Decimal(6)), Decimal(400)),
        both(keyed("run_2", "7"), typed("setting", "11")),
        {"runs": (Decimal(5), Decimal(7)), "setting": "11", "sheet_ft2": Decimal(400)},
        None,
    ),
    "sample": Case(
        Sample("soil", lab_bag="B-17", cores=15), typed("lab_bag", "B-71"), {"lab_bag": "B-71", "cores": 15}
    ),
    "occurrence": Case(
        Occurrence("injury", action="washed it"),
        picked("what", "complaint"),
        {"what": "complaint", "action": "washed it"},
    ),
    "put_off": Case(
        PutOff("mow:spring", "wet"), picked("why", "broken"), {"why": "broken", "due": "mow:spring"}
    ),
    "agreed_count": Case(
        AgreedCount(FALLOWDALE, 11, Decimal(220), "Sam"),
        both(keyed("loads", "12"), keyed("yards_yd3", "240"), typed("with_", "Sam the driver")),
        {"loads": 12, "yards_yd3": Decimal(240), "with_": "Sam the driver", "town": FALLOWDALE},
        None,
    ),
    "note": Case(Note("gate leans"), typed("text", "gate post leans"), {"text": "gate post leans"}),
    "answer": Case(Answer(ask="right"), picked("ask", "wrong"), {"ask": "wrong"}, None),
}


def saved(desk: Desk, case: Case, **more: Any) -> Saved:
    new = NewEntry(body=case.wrong, field=case.on, **more)
    return save_entry(desk.phone, desk.session.enrolment, new)


def page_of(desk: Desk, id: UUID) -> Any:
    """The page that a tap on *Correct* leads to."""
    entry = desk.opened(EntryPresenter(desk.session), entry=id)
    assert entry.view().save == "Correct"
    entry.save()
    page = desk.opened(_brought("presenters", SCREENS[desk.shown[-1]][1])(desk.session))
    page.view()
    return page


def test_every_kind_that_a_phone_writes_has_a_page_to_be_put_right_on() -> None:
    assert PAGES.keys() == KINDS.keys() - DESK_ONLY - NOT_HERE
    assert CASES.keys() == PAGES.keys() - {"load"}, "loads have their tests beside the gate's"


@pytest.mark.parametrize("kind", CASES)
def test_it_is_put_right_with_a_reason_and_the_first_stays_to_be_read(desk: Desk, kind: str) -> None:
    case = CASES[kind]
    first = saved(desk, case).entry
    page = page_of(desk, first.id)
    case.taps(desk, page)
    page.save()
    assert "reason" in page.view().notice
    page.pick("corrected_for", "misread")
    page.save()
    assert page.notice == ""
    newest = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry
    assert (newest.kind, newest.names, newest.field) == ("correction", first.id, case.on)
    body: Any = newest.body
    assert {key: getattr(body.body, key) for key in case.right} == case.right
    own = desk.phone.book.own(desk.session.enrolment, first.id)
    assert own is not None
    assert own.entry == first
    lines = {line.key for line in desk.opened(EntryPresenter(desk.session), entry=first.id).view().lines}
    assert {"now", "before", "why"} <= lines


@pytest.mark.parametrize("kind", CASES)
def test_untouched_it_says_the_same(desk: Desk, kind: str) -> None:
    first = saved(desk, CASES[kind]).entry
    page = page_of(desk, first.id)
    page.pick("corrected_for", "left_out")
    page.save()
    (fix,) = desk.bodies("correction")
    assert fix.body == first.body


@pytest.mark.parametrize("kind", CASES)
def test_it_is_struck_with_a_reason(desk: Desk, kind: str) -> None:
    first = saved(desk, CASES[kind]).entry
    entry = desk.opened(EntryPresenter(desk.session), entry=first.id)
    entry.extra()
    entry.pick("struck_for", "twice")
    entry.save()
    assert desk.bodies("strike")[0].of == kind
    (row,) = desk.opened(WrotePresenter(desk.session)).view().lines
    assert row.struck


ON_A_FIELD = sorted(kind for kind, case in CASES.items() if case.on is not None and kind != "put_off")


@pytest.mark.parametrize("kind", ON_A_FIELD)
def test_what_was_written_on_the_wrong_field_is_moved_to_the_right_one(desk: Desk, kind: str) -> None:
    first = saved(desk, CASES[kind]).entry
    page = page_of(desk, first.id)
    page.tap("on_field")
    assert {line.label for line in page.view().lines} >= {"Kiln Bottom", "Quarry Side", "Spring Piece"}
    page.tap(f"on_field.{KILN_BOTTOM}")
    page.pick("corrected_for", "wrong_field")
    page.save()
    newest = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry
    assert (newest.field, newest.part, newest.land) == (KILN_BOTTOM, None, 1)
    (row,) = desk.opened(WrotePresenter(desk.session)).view().lines
    assert "Kiln Bottom" in row.value


def test_a_stop_keeps_its_round_and_number_when_it_is_put_right(desk: Desk) -> None:
    walk = UUID(int=0x77)
    first = saved(desk, CASES["cover"], round=walk, stop=5).entry
    page = page_of(desk, first.id)
    page.pick("corrected_for", "misread")
    page.save()
    newest = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry
    assert (newest.round, newest.stop) == (walk, 5)


def test_what_was_done_today_after_all_is_no_longer_yesterdays(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="mow")
    page.pick("when", "yesterday")
    page.save()
    first = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry
    page = page_of(desk, first.id)
    page.pick("when", "now")
    page.pick("corrected_for", "mistyped")
    page.save()
    newest = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry
    assert (first.done_at is None, newest.done_at) == (False, None)


def test_a_figure_nobody_can_believe_is_refused_with_its_span_and_nothing_is_written(desk: Desk) -> None:
    first = saved(desk, CASES["cover"]).entry
    page = page_of(desk, first.id)
    keyed("height_in", "620")(desk, page)
    page.pick("corrected_for", "misread")
    page.save()
    assert "180" in page.view().notice
    assert desk.bodies("correction") == []


def test_a_choice_or_figure_taken_away_is_asked_for(desk: Desk) -> None:
    first = saved(desk, CASES["agreed_count"]).entry
    page = page_of(desk, first.id)
    page.pick("corrected_for", "misread")
    keyed("loads", "")(desk, page)
    page.save()
    assert "loads" in page.view().notice
    assert desk.bodies("correction") == []


def test_on_a_full_disk_it_says_so_and_stays_on_the_page(desk: Desk) -> None:
    first = saved(desk, CASES["note"]).entry
    page = page_of(desk, first.id)
    page.pick("corrected_for", "misread")

    def full(*_: Any, **__: Any) -> None:
        raise DiskFull

    desk.phone.book.save = full  # type: ignore[method-assign, assignment]
    page.save()
    assert "NOT saved" in page.view().notice
    assert isinstance(page, NotePresenter)


def test_a_second_correction_starts_from_the_first(desk: Desk) -> None:
    first = saved(desk, CASES["leaf_depth"]).entry
    for figure in ("4.6", "5.5"):
        page = page_of(desk, first.id)
        keyed("depth_in", figure)(desk, page)
        page.pick("corrected_for", "misread")
        page.save()
    assert [one.body.depth_in for one in desk.bodies("correction")] == [Decimal("4.6"), Decimal("5.5")]
    assert replace(first.body, depth_in=Decimal("5.5")) == desk.bodies("correction")[-1].body  # type: ignore[type-var]


def test_a_count_is_filled_in_as_it_was_keyed(desk: Desk) -> None:
    case = Case(Work("disk", passes=2, depth_in=Decimal("3.5")), keyed("passes", "3"), {})
    page = page_of(desk, saved(desk, case).entry.id)
    assert [slot.figure for slot in page.view().slots] == ["3.5", "2", ""]


def test_a_stage_in_words_of_ones_own_stays_until_another_is_chosen(desk: Desk) -> None:
    own = Case(Cover("orchardgrass", Decimal(22), "few", stage="first pollen"), keyed("height_in", "21"), {})
    first = saved(desk, own).entry
    for choose, stage in ((None, "first pollen"), ("boot", "boot")):
        page = page_of(desk, first.id)
        keyed("height_in", "21")(desk, page)
        if choose:
            page.pick("stage", choose)
        page.pick("corrected_for", "misread")
        page.save()
        newest: Any = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry.body
        assert (newest.body.stage, newest.body.height_in) == (stage, Decimal(21))
