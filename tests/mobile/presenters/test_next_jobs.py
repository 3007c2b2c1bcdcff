"""Next jobs on the phone: in the order to drive them, with why not the rest."""

from __future__ import annotations

from mobile.actions.land import dues
from mobile.actions.put_off import put_off
from mobile.presenters.lines import RowView, TextView
from mobile.presenters.more import MorePresenter
from mobile.presenters.next_jobs import NextJobsPresenter
from tests.mobile.presenters.desk import Desk


def next_jobs(desk: Desk) -> NextJobsPresenter:
    page: NextJobsPresenter = desk.opened(NextJobsPresenter(desk.session))
    return page


def told(desk: Desk) -> list[tuple[str, str]]:
    return [(one.label, one.value) for one in next_jobs(desk).view().lines if isinstance(one, RowView)]


def test_what_is_due_stands_in_its_order_with_its_field_and_why(desk: Desk) -> None:
    label, value = told(desk)[0]
    assert label.startswith("1. Mow, 3 days late")
    assert value.startswith("Spring Piece")


def test_a_job_opens_work_filled_in_wherever_one_stands(desk: Desk) -> None:
    page = next_jobs(desk)
    (key,) = [one.key for one in page.view().lines if isinstance(one, RowView) and "Mow" in one.label]
    page.tap(key)
    assert desk.shown[-1] == "work"
    assert desk.session.facts["job"] == "mow"


def test_what_was_put_off_today_is_among_those_left_out_with_why(desk: Desk) -> None:
    page = next_jobs(desk)
    first = next(one.key for one in page.view().lines if isinstance(one, RowView))
    due = next(one for one in dues(desk.phone, desk.session.enrolment) if one.id == first)
    put_off(desk.phone, desk.session.enrolment, due, "wet")
    lines = page.view().lines
    titles = [one.text for one in lines if isinstance(one, TextView)]
    assert "Why not today" in titles
    assert any(one.plain and "put off" in one.value for one in lines if isinstance(one, RowView))


def test_it_stands_first_under_more(desk: Desk) -> None:
    more = desk.opened(MorePresenter(desk.session))
    assert more.view().lines[0].label == "Next jobs"
    more.tap("next_jobs")
    assert desk.shown[-1] == "next_jobs"
