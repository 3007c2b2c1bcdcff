"""What I wrote: newest first, corrected, struck, paged."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from mobile.presenters.entry import EntryPresenter
from mobile.presenters.wrote import PAGE, WrotePresenter
from tests.mobile.kit import cover, note
from tests.mobile.presenters.desk import Desk


def wrote(desk: Desk) -> WrotePresenter:
    page: WrotePresenter = desk.opened(WrotePresenter(desk.session))
    return page


def labels(page: WrotePresenter) -> list[str]:
    return [line.label for line in page.view().lines if hasattr(line, "label")]  # type: ignore[union-attr]


def test_with_nothing_written_it_says_so(desk: Desk) -> None:
    (line,) = wrote(desk).view().lines
    assert "Nothing yet" in line.text  # type: ignore[union-attr]


def test_the_newest_stands_first(desk: Desk) -> None:
    cover(desk.phone, desk.session.enrolment)
    note(desk.phone, desk.session.enrolment, "gate post leans")
    assert labels(wrote(desk)) == ["Note", "Cover height"]


def test_older_ones_come_a_page_at_a_time(desk: Desk) -> None:
    for nth in range(PAGE + 5):
        note(desk.phone, desk.session.enrolment, f"number {nth}")
    page = wrote(desk)
    assert len(page.view().lines) == PAGE + 1
    page.tap("older")
    assert len(page.view().lines) == 5
    page.extra()
    assert len(page.view().lines) == PAGE + 1


def entry(desk: Desk, id: Any) -> EntryPresenter:
    page: EntryPresenter = desk.opened(EntryPresenter(desk.session), entry=id)
    return page


def test_a_correction_keeps_the_first_figure_to_be_read(desk: Desk) -> None:
    saved = cover(desk.phone, desk.session.enrolment, "31")
    page = entry(desk, saved.entry.id)
    page.save()
    page.key("rub")
    page.key("4")
    page.save()
    assert page.view().notice, "a correction says why"
    page.pick("corrected_for", "misread")
    page.save()
    (row,) = wrote(desk).view().lines
    assert "34 in" in row.value  # type: ignore[union-attr]
    assert "before" in row.value  # type: ignore[union-attr]
    assert desk.bodies("correction")[0].body.height_in == Decimal(34)


def test_a_second_correction_names_the_first(desk: Desk) -> None:
    saved = cover(desk.phone, desk.session.enrolment, "31")
    page = entry(desk, saved.entry.id)
    for digit in ("4", "5"):
        page.save()
        page.key("rub")
        page.key(digit)
        page.pick("corrected_for", "misread")
        page.save()
    lines = desk.phone.book.written(desk.session.enrolment, None, 2)
    assert lines[0].entry.names == lines[1].id
    (row,) = wrote(desk).view().lines
    assert "35 in" in row.value  # type: ignore[union-attr]


def test_a_strike_says_why_and_the_entry_stays_ruled_through(desk: Desk) -> None:
    saved = cover(desk.phone, desk.session.enrolment)
    page = entry(desk, saved.entry.id)
    page.extra()
    page.save()
    assert page.view().notice
    page.pick("struck_for", "twice")
    page.save()
    (row,) = wrote(desk).view().lines
    assert row.struck  # type: ignore[union-attr]
    assert "written twice" in row.value  # type: ignore[union-attr]
    assert page.view().save == "", "what is struck is not corrected"


def test_slips_undone_at_once_are_one_counted_line(desk: Desk) -> None:
    from mobile.actions.strike import undo

    for _ in range(3):
        undo(desk.phone, cover(desk.phone, desk.session.enrolment))
    assert labels(wrote(desk)) == ["3 slips undone at once"]
