"""Backups that are read back and checked, what is safe by them, restores, and the day's seal."""

from __future__ import annotations

import pytest

from server.book.models import Row
from server.keeping.backups import mark_safe
from server.keeping.errors import NotSoFar
from server.reading.sealing import seal
from shared.proof.check import check
from shared.sync import merkle
from shared.wire.push import Stays
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone
from tests.server.test_again_and_book import book_lines


@pytest.mark.django_db
def test_W10_safe_is_the_highest_line_up_to_which_all_stand_in_a_checked_backup(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    for _ in range(3):
        phone.write()
    assert phone.push().json()["safe"] == 0
    mark_safe(ground.farm.id, ground.fresh().number - 1, now())
    assert phone.push(3).json()["safe"] == 2
    mark_safe(ground.farm.id, ground.fresh().number, now())
    phone.write()
    assert phone.push(4).json()["safe"] == 3


@pytest.mark.django_db
def test_W10_a_refused_line_is_never_safe_nor_is_any_after_it(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    phone.kept.append(Stays("ab" * 32, 70_000))
    phone.write()
    phone.push()
    mark_safe(ground.farm.id, ground.fresh().number, now())
    assert phone.push(4).json()["safe"] == 1


@pytest.mark.django_db
def test_W10_entries_that_came_under_an_earlier_enrolment_are_safe_where_they_stand(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    phone.push()
    mark_safe(ground.farm.id, ground.fresh().number, now())
    other = HandPhone.join(ground, now(), "another-nonce")
    other.kept = list(phone.kept)
    other.push()
    mark_safe(ground.farm.id, ground.fresh().number, now())
    assert other.push(2).json()["safe"] == 1


@pytest.mark.django_db
def test_a_backup_that_reaches_further_than_the_book_is_a_mistake(ground: Ground, now: Clock) -> None:
    with pytest.raises(NotSoFar):
        mark_safe(ground.farm.id, ground.fresh().number + 1, now())


@pytest.mark.django_db
def test_W21_a_seal_covers_every_line_since_the_last_and_stands_in_the_book(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    for _ in range(3):
        phone.write()
    phone.push()
    first = seal(ground.farm.id, ground.owner.id, now())
    phone.write()
    phone.push(4)
    second = seal(ground.farm.id, ground.owner.id, now())
    assert first is not None
    assert second is not None
    report = check(book_lines(phone), ground.farm.id)
    assert report.fault is None
    assert [(one.number, one.first, one.last) for one in report.seals] == [(6, 1, 5), (8, 6, 7)]
    assert all(one.whole for one in report.seals)
    from server.book.reads import chained, entry_of

    body = entry_of(second).body
    leaves = [
        chained(row).text().encode() for row in Row.objects.filter(number__in=(6, 7)).order_by("number")
    ]
    assert body.root == merkle.root(leaves)
    assert body.before == first.entry
    assert seal(ground.farm.id, ground.owner.id, now()) is not None
