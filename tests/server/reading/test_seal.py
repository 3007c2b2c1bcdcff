"""A whole day at the desk: read, asked about, sealed, and what came late under the next seal."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client

from server.book import reads as book
from server.people.models import Phone
from server.reading import reads, sealing
from server.status import reads as status
from shared.languages import say
from shared.sync import merkle
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover
from tests.server.ground import HandPhone, raw
from tests.server.web.farmyard import Farmyard, signed_in

DAY = "2026-06-01"


def seen_of(page) -> str:
    return page.context["sealed"]["seen"]


def seal(yard: Farmyard, client: Client, page, **more: str):
    form = {"day": DAY, "seen": seen_of(page)} | more
    return client.post(yard.page("seal_day"), form, follow=True)


def test_a_day_of_three_hundred_is_read_queried_and_sealed_and_what_comes_late_is_an_addendum(
    yard: Farmyard, phone: HandPhone, owner: Client, now
):
    upper, long_acre = yard.ground.fields
    usual = [*yard.notes(180, field=upper), *yard.notes(117, field=long_acre)]
    odd = yard.write(Cover("rye", Decimal("620"), "none"), field=long_acre).entry
    Phone.objects.filter(id=phone.id).update(waits=2)
    phone.kept.append(raw({"kind": "cover", "height": "thirty"}))
    phone.push()
    spread = reads.spread(yard.ground.fresh(), now().date(), now())
    (held,) = [one for one in spread.unusual if one.mark == "held"]
    outlines = [one.id for one in spread.rest if one.row.kind == "land"]
    assert len(spread.everything) == 300 + len(outlines) - 1

    for entry, words in ((usual[0], {"ask": "right_figure"}), (usual[200], {"why": "which row?"})):
        owner.post(yard.page("mark", entry), {"mark": "query", "turn": 0} | words)
    page = owner.get(yard.page("evening_reading"))
    shown = [*page.context["spread"].unread]
    owner.post(yard.page("initial_the_rest"), {"day": DAY, "entry": [one.id for one in shown]})
    owner.post(yard.page("initial_opened"), {"seen": f"{odd}:0"})
    owner.post(yard.page("mark", held.id), {"mark": "put_by", "why": "torn", "turn": held.turn})
    page = owner.get(yard.page("evening_reading"))
    text = page.content.decode()
    together = 297 + len(outlines) - 2
    assert say("en", "reading.day_sum", read=1, together=together, open=2) in text
    assert say("en", "asks.right_figure") in text
    assert "which row?" in text
    assert say("en", "reading.margin.initialled_opened") in text

    refused = seal(yard, owner, page)
    assert say("en", "seal.say_you_know") in refused.content.decode()
    assert sealing.last_seal(yard.farm) is None
    covered = yard.ground.fresh().number
    done = seal(yard, owner, page, known="on")
    assert say("en", "seal.done", number=covered) in done.content.decode()
    row, body = sealing.last_seal(yard.farm)
    leaves = [book.chained(one).text().encode() for one in book.rows(yard.farm) if one.number <= covered]
    assert (body.first, body.last, body.root) == (1, covered, merkle.root(leaves))

    late = phone.write(field=upper, made_at="2026-06-01T07:58:00.000-04:00")
    wild = phone.write(field=upper, body={"cover": "rye", "height_in": "610", "heads": "none"})
    assert phone.push().status_code == 200
    page = owner.get(yard.page("evening_reading"))
    assert {str(one.id) for one in page.context["spread"].addendum} == {late["id"], wild["id"]}
    assert {str(one.id) for one in page.context["spread"].unread} >= {late["id"]}
    assert wild["id"] not in {str(one.id) for one in page.context["spread"].unread}
    assert say("en", "seal.addendum") in page.content.decode()
    seal(yard, owner, page, known="on")
    assert sealing.last_seal(yard.farm)[1].before == row.entry
    assert sealing.seal_of(yard.farm, now().date()).row.number == row.number
    number = book.of_entry(yard.farm, odd).number
    assert sealing.covering(yard.farm, number).row.number == row.number


def test_a_second_manager_does_not_seal_over_the_first(yard: Farmyard, owner: Client):
    other = signed_in(yard.hand("Dora Finch", "manager"))
    yard.notes(2)
    page = other.get(yard.page("evening_reading"))
    seal(yard, owner, page)
    before = yard.ground.fresh().number
    told = seal(yard, other, page).content.decode()
    assert say("en", "refusals.sealed_since.detail") in told
    assert yard.ground.fresh().number == before


def test_a_seal_alone_is_nothing_to_seal(yard: Farmyard, owner: Client):
    yard.notes(1)
    seal(yard, owner, owner.get(yard.page("evening_reading")))
    page = owner.get(yard.page("evening_reading"))
    assert page.context["sealed"]["fresh"] == 0
    told = seal(yard, owner, page).content.decode()
    assert say("en", "refusals.nothing_to_seal.detail") in told


@pytest.mark.parametrize("day", ["2026-06-02", "soon"])
def test_a_day_that_has_not_begun_is_not_sealed(yard: Farmyard, owner: Client, day):
    yard.notes(1)
    assert owner.post(yard.page("seal_day"), {"day": day, "seen": ""}).status_code == 404
    assert sealing.last_seal(yard.farm) is None


def test_a_query_is_shown_with_its_answer_told_at_the_desk(yard: Farmyard, owner: Client):
    row = yard.write(Note("two rows by the well"))
    owner.post(yard.page("mark", row.entry), {"mark": "query", "ask": "which_field", "turn": 0})
    (asked,) = status.open_queries(yard.farm)
    told = {"query": str(asked.id), "text": "Upper Rest, north end"}
    owner.post(yard.page("answer", row.entry), told)
    assert status.open_queries(yard.farm) == []
    for page in (yard.page("evening_reading"), yard.page("entry", row.entry)):
        assert "Upper Rest, north end" in owner.get(page).content.decode()
    (answer,) = book.of_kinds(yard.farm, ["answer"])
    assert book.entry_of(answer).done_by == yard.ground.crew.id
    again = owner.post(yard.page("answer", row.entry), told, follow=True).content.decode()
    assert say("en", "refusals.no_such_query.detail") in again
    empty = owner.post(yard.page("answer", row.entry), told | {"text": " "}, follow=True)
    assert say("en", "refusals.say_what.detail") in empty.content.decode()


def test_a_reader_seals_and_answers_nothing(yard: Farmyard):
    reader = signed_in(yard.hand("Inés Prado", "reader"))
    yard.notes(1)
    assert reader.post(yard.page("seal_day"), {"day": DAY, "seen": ""}).status_code == 403
    assert 'id="known"' not in reader.get(yard.page("evening_reading")).content.decode()
