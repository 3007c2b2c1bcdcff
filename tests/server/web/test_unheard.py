"""Phones that have not been heard: named once on the page of the day, and again only in what is ticked."""

from __future__ import annotations

from django.test import Client

from server.people.models import Phone
from shared.languages import say
from tests.server.ground import HandPhone
from tests.server.web.farmyard import Farmyard, days_before


def test_a_phone_that_was_not_heard_is_told_once_and_named_in_the_tick(yard: Farmyard, owner: Client):
    yard.notes(1, field=yard.ground.fields[0])
    phone = HandPhone.join(yard.ground, yard.at).row
    Phone.objects.filter(id=phone.id).update(
        label="Ana's telephone", seen_at=days_before(yard.at, 2), waits=3
    )
    text = owner.get(yard.page("evening_reading")).content.decode()
    label = "Ana&#x27;s telephone"
    assert text.count(say("en", "reading.still_waits", count=3)) == 1
    assert say("en", "seal.i_know", phones=label) in text
    assert text.count(label) == 2
