"""What I wrote: newest first, corrected, struck, paged."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from mobile.presenters.entry import EntryPresenter
from mobile.presenters.in_place import InPlacePresenter
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


def correcting(desk: Desk, id: Any) -> InPlacePresenter:
    entry(desk, id).save()
    page: InPlacePresenter = desk.opened(InPlacePresenter(desk.session))
    page.view()
    return page


def test_a_correction_keeps_the_first_figure_to_be_read(desk: Desk) -> None:
    saved = cover(desk.phone, desk.session.enrolment, "31")
    page = correcting(desk, saved.entry.id)
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
    for digit in ("4", "5"):
        page = correcting(desk, saved.entry.id)
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


def test_a_page_of_strikes_alone_still_leads_to_what_is_older(desk: Desk) -> None:
    from mobile.actions.strike import strike

    saved = [note(desk.phone, desk.session.enrolment, f"number {nth}") for nth in range(PAGE)]
    for one in saved:
        strike(desk.phone, desk.session.enrolment, one.entry, "twice")
    page = wrote(desk)
    assert labels(page) == ["Older"]
    page.tap("older")
    assert labels(page)[0] == "Note"


def test_an_entry_too_large_to_hand_in_stands_there_and_says_why_nothing_can_be_changed(desk: Desk) -> None:
    saved = note(desk.phone, desk.session.enrolment, "many words")
    desk.phone.book.disk.write(  # type: ignore[attr-defined]
        lambda one: (
            one.execute("UPDATE entries SET outcome = 'refused', code = 'too_large'"),
            one.execute("UPDATE enrolments SET handed = 1"),
        )
    )
    (row,) = wrote(desk).view().lines
    assert row.wrong  # type: ignore[union-attr]
    page = entry(desk, saved.entry.id).view()
    assert (page.save, page.extra) == ("", "")
    assert "Too large to hand in" in page.caution


def test_whoever_changes_anothers_entry_is_told_that_it_waits_for_the_managers_word(desk: Desk) -> None:
    from mobile.actions.choose_person import choose_person, people

    saved = cover(desk.phone, desk.session.enrolment, "31")
    writer = saved.entry.by
    everybody = people(desk.phone, desk.session.enrolment)
    crew = next(one for one in everybody if one.id != writer and one.role == "crew")
    assert entry(desk, saved.entry.id).view().caution == ""
    choose_person(desk.phone, desk.session.enrolment, crew.id)
    page = entry(desk, saved.entry.id)
    named = next(one.name for one in everybody if one.id == writer)
    assert named in page.view().caution
    page.extra()
    assert named in page.view().caution
