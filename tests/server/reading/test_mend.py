"""Correcting and striking at the desk: the first words stay readable, two managers do not overwrite each other."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from django.http import QueryDict
from django.test import Client

from server.book import reads as book
from server.status import reads as status
from server.web import body_form
from shared.languages import LANGUAGES, say
from shared.status.field_status import FieldStatus
from shared.wire.lines import decode
from shared.words.bodies import KINDS
from shared.words.bodies.reading import Correction
from shared.words.bodies.walked import Cover
from tests.server.web.farmyard import Farmyard, signed_in

GOLDEN = Path(__file__).resolve().parents[2] / "golden" / "v1"


def form_of(page) -> dict[str, object]:
    """What a browser would send if nothing were changed."""
    form: dict[str, object] = {"turn": page.context["read"].turn}
    for ask in page.context["asks"]:
        if ask.shape == "rows":
            form |= {f"{ask.name}.{n}": [row[n] for row in ask.rows] for n in range(len(ask.columns))}
        else:
            form[ask.name] = list(ask.chosen) if ask.shape == "several" else ask.text
    field = page.context["read"].row.field
    return form | ({"field": str(field)} if field else {})


def test_a_height_is_corrected_with_its_reason(yard: Farmyard, owner: Client):
    row = yard.write(Cover("rye", Decimal("310"), "none"), field=yard.ground.fields[0])
    page = owner.get(yard.page("correct", row.entry))
    owner.post(
        yard.page("correct", row.entry), form_of(page) | {"height_in": "31", "why": "a nought too many"}
    )
    stands = FieldStatus.from_tree(status.standing(yard.farm, yard.ground.fields[0]))
    assert stands.cover[0].mean_in == 31
    text = owner.get(yard.page("entry", row.entry)).content.decode()
    assert "310 in" in text
    later = status.verdicts(yard.farm, [row.entry])[row.entry].corrected_by
    assert "a nought too many" in owner.get(yard.page("entry", later)).content.decode()


def test_a_load_keeps_all_that_was_not_changed(yard: Farmyard, owner: Client):
    row = yard.load(yard.ground.fields[0], "20")
    page = owner.get(yard.page("correct", row.entry))
    form = form_of(page) | {"beds.1": ["50", ""], "to.1": ["10", ""], "why": "half full"}
    owner.post(yard.page("correct", row.entry), form)
    (later,) = book.all_written(book.of_kinds(yard.farm, ["correction"]))
    body = later.entry.body
    assert isinstance(body, Correction)
    before = book.entry_of(row).body
    assert (body.body.carried_yd3, body.body.to) == (Decimal("10"), ((yard.ground.fields[0], Decimal("10")),))
    assert (body.body.ticket, body.body.town, body.body.vehicle) == (
        before.ticket,
        before.town,
        before.vehicle,
    )


def test_an_entry_is_moved_to_the_right_field(yard: Farmyard, owner: Client):
    upper, long_acre = yard.ground.fields
    row = yard.write(Cover("rye", Decimal("31"), "none"), field=upper)
    page = owner.get(yard.page("correct", row.entry))
    owner.post(
        yard.page("correct", row.entry), form_of(page) | {"field": str(long_acre), "why": "wrong field"}
    )
    assert FieldStatus.from_tree(status.standing(yard.farm, upper)).cover == ()
    assert FieldStatus.from_tree(status.standing(yard.farm, long_acre)).cover[0].mean_in == 31


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"height_in": "tall"}, "Height"),
        ({"height_in": ""}, "Height"),
        ({"cover": "bamboo"}, "Cover"),
        ({"cover": "other"}, None),
    ],
)
def test_what_can_not_be_is_told_and_writes_nothing(yard: Farmyard, owner: Client, change, told):
    row = yard.write(Cover("rye", Decimal("31"), "none"), field=yard.ground.fields[0])
    number = yard.ground.fresh().number
    page = owner.get(yard.page("correct", row.entry))
    answer = owner.post(yard.page("correct", row.entry), form_of(page) | change | {"why": "a slip"})
    assert answer.status_code == 400
    assert told is None or say("en", "reading.can_not_use", label=told) in answer.content.decode().replace(
        "&#x27;", "'"
    )
    assert yard.ground.fresh().number == number


def test_a_change_without_a_reason_is_not_taken(yard: Farmyard, owner: Client):
    row = yard.write(Cover("rye", Decimal("31"), "none"), field=yard.ground.fields[0])
    number = yard.ground.fresh().number
    page = owner.get(yard.page("correct", row.entry))
    assert owner.post(yard.page("correct", row.entry), form_of(page)).status_code == 400
    owner.post(yard.page("strike", row.entry), {"turn": 0, "why": " "})
    assert yard.ground.fresh().number == number


def test_a_struck_entry_is_ruled_through_and_not_struck_again(yard: Farmyard, owner: Client):
    row = yard.write(Cover("rye", Decimal("31"), "none"), field=yard.ground.fields[0])
    owner.post(yard.page("strike", row.entry), {"turn": 0, "why": "not this field"})
    assert status.verdicts(yard.farm, [row.entry])[row.entry].struck
    assert owner.get(yard.page("correct", row.entry)).status_code == 404
    number = yard.ground.fresh().number
    owner.post(yard.page("strike", row.entry), {"turn": 0, "why": "again"})
    assert yard.ground.fresh().number == number


def test_a_second_manager_corrects_what_stands_now_or_is_told(yard: Farmyard, owner: Client):
    other = signed_in(yard.hand("Dora Finch", "manager"))
    row = yard.write(Cover("rye", Decimal("310"), "none"), field=yard.ground.fields[0])
    stale = form_of(other.get(yard.page("correct", row.entry)))
    page = owner.get(yard.page("correct", row.entry))
    owner.post(yard.page("correct", row.entry), form_of(page) | {"height_in": "31", "why": "a slip"})
    answer = other.post(
        yard.page("correct", row.entry), stale | {"height_in": "32", "why": "a slip"}, follow=True
    )
    assert say("en", "refusals.spoken_of_since.detail") in answer.content.decode().replace("&#x27;", "'")
    fresh = other.get(yard.page("correct", row.entry))
    assert next(one.text for one in fresh.context["asks"] if one.name == "height_in") == "31"
    other.post(yard.page("correct", row.entry), form_of(fresh) | {"height_in": "32", "why": "read again"})
    stands = FieldStatus.from_tree(status.standing(yard.farm, yard.ground.fields[0]))
    assert stands.cover[0].mean_in == 32


def test_a_leg_is_set_with_a_reason(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    form = {"leg": "hay", "crop": "timothy", "starts_on": "2026-05-01", "why": "seeded by the neighbour"}
    owner.post(yard.page("set_leg", field), form)
    leg = FieldStatus.from_tree(status.standing(yard.farm, field)).leg_on(date(2026, 6, 1))
    assert (leg.leg, leg.crop) == ("hay", "timothy")
    number = yard.ground.fresh().number
    for wrong in ({"why": ""}, {"leg": "fallow"}, {"starts_on": "spring"}):
        owner.post(yard.page("set_leg", field), form | wrong)
    assert yard.ground.fresh().number == number


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_kind_of_entry_makes_a_form_that_says_the_same_again(language):
    """A form sent as it came says what the entry said, for each kind of which there is a golden line."""
    seen = set()
    for file in sorted(GOLDEN.glob("*.json")):
        body = decode(file.read_bytes().strip()).body
        if isinstance(body, Correction):
            continue
        asks = body_form.asks(language, body, lambda key: ())
        form = QueryDict(mutable=True)
        for ask in asks:
            if ask.shape == "rows":
                for n in range(len(ask.columns)):
                    form.setlist(f"{ask.name}.{n}", [row[n] for row in ask.rows])
            elif ask.shape == "several":
                form.setlist(ask.name, list(ask.chosen))
            else:
                form[ask.name] = ask.text
        assert body_form.body_of(body, form, asks) == body
        seen.add(type(body))
    assert len(seen) >= len(KINDS) - 2
