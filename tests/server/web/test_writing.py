"""Writing at the desk: every kind has its form, what can't be used comes back whole, a form sent twice counts once."""

from __future__ import annotations

import hashlib
from datetime import date
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from server.book import reads as book
from server.web import writing
from shared.languages import say
from shared.words.bodies.gate import Load
from shared.words.bodies.walked import Weeds
from tests.server.web.farmyard import Farmyard

PICTURE = b"\x89PNG\r\n\x1a\n" + b"a page of paper"


def started(yard: Farmyard, owner: Client, kind: str) -> dict[str, str]:
    """What a form has in it as it is opened."""
    page = owner.get(yard.page("write_kind", kind))
    assert page.status_code == 200, kind
    told = {key: page.context[key] for key in ("round", "stop")}
    return told | {"id": page.context["own"], "from_paper": "on", "on": "2026-05-30"}


def last(yard: Farmyard):
    return book.entry_of(book.rows(yard.farm).last())


def test_every_kind_that_is_written_by_hand_has_a_form(yard: Farmyard, owner: Client):
    listed = owner.get(yard.page("write")).content.decode()
    for kind in writing.WRITTEN:
        assert yard.page("write_kind", kind) in listed
        assert started(yard, owner, kind)
    assert owner.get(yard.page("write_kind", "seal")).status_code == 404


def test_a_load_from_a_paper_gate_sheet_stands_with_who_noted_it_when_and_the_paper(
    yard: Farmyard, owner: Client
):
    field = yard.ground.fields[0]
    form = started(yard, owner, "load") | {
        "ticket": "P-1", "town": yard.town, "vehicle": yard.truck, "beds.0": ["20", ""], "beds.1": ["80", ""],
        "packing": "loose", "bags": "none", "checked": "glance", "trash": "none", "trash_basis": "seen",
        "outcome": "taken", "to.0": [str(field), ""], "to.1": ["16", ""], "at": "14:05",
        "who": yard.ground.crew.id, "photo": SimpleUploadedFile("p.png", PICTURE, "image/png"),
    }  # fmt: skip
    assert owner.post(yard.page("write_kind", "load"), form).status_code == 302
    entry = last(yard)
    assert isinstance(entry.body, Load)
    assert (entry.body.carried_yd3, entry.body.to) == (Decimal(16), ((field, Decimal(16)),))
    assert (entry.from_paper, entry.by, entry.done_by) == (True, yard.ground.owner.id, yard.ground.crew.id)
    assert entry.done_at.text == "2026-05-30T14:05:00-04:00"
    assert [one.sha256 for one in entry.photos] == [hashlib.sha256(PICTURE).hexdigest()]
    page = owner.get(yard.page("entry", entry.id)).content.decode()
    assert say("en", "reading.from_paper", by="Ana Reyes") in page
    assert yard.page("entry_photo", entry.photos[0].sha256) in page


def test_a_form_that_is_sent_twice_is_written_once(yard: Farmyard, owner: Client):
    form = started(yard, owner, "note") | {"text": "the gate was left open"}
    assert owner.post(yard.page("write_kind", "note"), form).status_code == 302
    number = yard.ground.fresh().number
    again = owner.post(yard.page("write_kind", "note"), form)
    assert again.status_code == 400
    assert say("en", "refusals.written_already.detail") in again.content.decode()
    assert yard.ground.fresh().number == number


def test_a_round_on_paper_is_written_stop_by_stop(yard: Farmyard, owner: Client):
    form = started(yard, owner, "weeds") | {"ground": yard.ground.fields[0], "then": "next"}
    form |= {"classes.0": ["1-5", "1-5", "trace", ""], "seed_set": "none"}
    page = owner.post(yard.page("write_kind", "weeds"), form, follow=True)
    assert (page.context["round"], page.context["stop"]) == (form["round"], "2")
    assert f'value="{yard.ground.fields[0]}" selected' in page.content.decode()
    entry = last(yard)
    assert isinstance(entry.body, Weeds)
    assert (entry.body.classes, entry.body.scale) == (("1-5", "1-5", "trace"), "cover8")
    assert (str(entry.round), entry.stop, entry.done_at) == (form["round"], 1, date(2026, 5, 30))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"height_in": "tall"}, "Height"),
        ({"cover": ""}, "Cover"),
        ({"on": "2026-06-09"}, "This day has not come yet."),
        ({"on": ""}, say("en", "pages.wrong.missing")),
        ({"at": "noon"}, say("en", "pages.wrong.time")),
        ({"id": "x"}, ""),
        ({"ground": "00000000-0000-0000-0000-000000000000"}, say("en", "pages.wrong.choice")),
    ],
)
def test_what_can_not_be_used_comes_back_with_all_that_was_typed(yard: Farmyard, owner: Client, change, told):
    form = started(yard, owner, "cover") | {
        "cover": "rye",
        "height_in": "31",
        "heads": "none",
        "stage": "boot",
    }
    form |= {"mix.0": ["vetch", "", "", ""], "mix.1": ["30", "", "", ""]}
    number = yard.ground.fresh().number
    answer = owner.post(yard.page("write_kind", "cover"), form | change)
    assert answer.status_code == 400
    text = answer.content.decode()
    assert told in text
    for kept in ('value="boot"', 'value="vetch"', 'value="30"'):
        assert kept in text
    assert yard.ground.fresh().number == number


@pytest.mark.parametrize(
    ("content", "code"), [(b"%PDF-1.7", "not_a_picture"), (b"x" * (12 * 1024 * 1024 + 1), "photo_too_large")]
)
def test_a_file_that_is_no_photo_is_told_and_nothing_is_written(yard: Farmyard, owner: Client, content, code):
    number = yard.ground.fresh().number
    form = started(yard, owner, "note") | {"text": "a note", "photo": SimpleUploadedFile("p.png", content)}
    answer = owner.post(yard.page("write_kind", "note"), form)
    assert answer.status_code == 400
    facts = {"size": len(content), "most": 12 * 1024 * 1024} if code == "photo_too_large" else {}
    assert say("en", f"refusals.{code}.detail", **facts) in answer.content.decode()
    assert yard.ground.fresh().number == number
