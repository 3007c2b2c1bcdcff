"""First run: joining, and every way in which it can fail."""

from __future__ import annotations

from pathlib import Path

import pytest

from mobile.presenters.first_run import FirstRunPresenter
from mobile.presenters.who import WhoPresenter
from tests.mobile.fake_server import ADDRESS
from tests.mobile.presenters.desk import CODE, Desk


@pytest.fixture
def bare(tmp_path: Path) -> Desk:
    return Desk(tmp_path, joined=False)


def tried(desk: Desk, code: str, address: str = ADDRESS) -> FirstRunPresenter:
    page: FirstRunPresenter = desk.opened(FirstRunPresenter(desk.session))
    page.write("code", code)
    page.write("address", address)
    page.save()
    return page


def test_a_good_slip_joins_and_asks_who_writes(bare: Desk) -> None:
    tried(bare, "7k2mp-qx4rd")
    assert bare.session.is_joined
    assert bare.shown == ["who"]


def test_a_code_that_is_none_is_said_before_anything_is_asked(bare: Desk) -> None:
    page = tried(bare, "7K2")
    assert "ten characters" in page.view().notice
    assert bare.server.requests == []


def test_a_code_that_the_server_does_not_know_is_said(bare: Desk) -> None:
    page = tried(bare, "AAAAAAAAAA")
    assert "No joining slip has this code" in page.view().notice
    assert not bare.session.is_joined


def test_a_used_code_is_said(bare: Desk, tmp_path: Path) -> None:
    tried(bare, CODE)
    other = Desk(tmp_path, joined=False, seed=2, server=bare.server)
    page = tried(other, CODE)
    assert "used before" in page.view().notice
    assert not other.session.is_joined


def test_plain_http_to_another_machine_is_refused(bare: Desk) -> None:
    assert "https" in tried(bare, CODE, "http://farm.example").view().notice


def test_the_page_speaks_the_language_that_is_picked(bare: Desk) -> None:
    page = bare.opened(FirstRunPresenter(bare.session))
    page.pick("language", "es")
    assert page.view().title == "Entrar a la finca"
    assert bare.worn == 1


def test_four_digits_choose_who_writes(bare: Desk) -> None:
    tried(bare, CODE)
    page = bare.opened(WhoPresenter(bare.session))
    bare.key_in(page, "1407")
    assert bare.session.person is not None
    assert bare.session.person.name == "Ines Quintoval"
    assert bare.session.language == "es"
    assert bare.shown[-1] == "here"


def test_digits_that_nobody_has_choose_nobody(bare: Desk) -> None:
    tried(bare, CODE)
    page = bare.opened(WhoPresenter(bare.session))
    bare.key_in(page, "9999")
    assert bare.session.person is None
    assert "Nobody has these digits" in page.view().notice


def test_a_shared_phone_keeps_no_digits_and_each_entry_is_its_makers(bare: Desk) -> None:
    """Four digits are a name tag: what is on the disk of them is a hash, and an entry is by whoever wears the tag."""
    from tests.mobile.kit import note

    tried(bare, CODE)
    makers = []
    for digits in ("1406", "1407"):
        bare.key_in(bare.opened(WhoPresenter(bare.session)), digits)
        makers.append(bare.session.person)
        note(bare.phone, bare.session.enrolment, f"written after {len(makers)}")
    lines = bare.phone.book.written(bare.session.enrolment, None, 2)
    assert [line.entry.by for line in reversed(lines)] == [one.id for one in makers if one is not None]
    people = bare.phone.book.rows(bare.session.enrolment, "people")
    assert all(len(row["digits"]) == 64 for row in people)
    disk = bare.phone.book.disk  # type: ignore[attr-defined]
    settings = dict(disk.many("SELECT name, value FROM settings"))
    assert not {"1406", "1407"} & set(settings.values())
    assert disk.many("SELECT 1 FROM drafts WHERE tree LIKE '%1406%' OR tree LIKE '%1407%'") == []
