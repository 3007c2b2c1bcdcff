"""Photos at the evening reading: one that has come is shown to its own farm, one that is late is told."""

from __future__ import annotations

import hashlib
import io

from django.test import Client
from PIL import Image

from server.config.place import Place
from server.people.models import Phone
from server.photos import reads as photos
from server.photos import writes as store
from server.reading import reads
from shared.languages import say
from tests.server.ground import HandPhone, found
from tests.server.web.farmyard import Farmyard, signed_in


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (8, 6), "white").save(out, "JPEG")
    return out.getvalue()


def written(yard: Farmyard, phone: HandPhone, raw: bytes) -> dict:
    named = {"sha256": hashlib.sha256(raw).hexdigest(), "bytes": len(raw), "type": "image/jpeg"}
    tree = phone.write(field=yard.ground.fields[0], photos=[named])
    assert phone.push().status_code == 200
    return tree


def handed_in(phone: HandPhone, raw: bytes, now) -> str:
    sha = hashlib.sha256(raw).hexdigest()
    row = Phone.objects.get(id=phone.id)
    store.announce(row, sha, len(raw), now())
    store.take(row, sha, 0, raw, None, now())
    return sha


def test_a_photo_that_has_come_is_shown_to_its_own_farm_alone(
    yard: Farmyard, phone: HandPhone, owner: Client, now, settings, tmp_path
):
    settings.PLACE = Place(tmp_path)
    raw = picture()
    tree = written(yard, phone, raw)
    sha = handed_in(phone, raw, now)
    assert photos.file(yard.farm, sha) is not None
    assert yard.page("entry_photo", sha) in owner.get(yard.page("entry", tree["id"])).content.decode()
    answer = owner.get(yard.page("entry_photo", sha))
    assert (answer["Content-Type"], answer["X-Content-Type-Options"]) == ("image/jpeg", "nosniff")
    assert b"".join(answer.streaming_content) == raw
    other = found("Thistle Bank", now())
    theirs = yard.page("entry_photo", sha).replace(str(yard.farm), str(other.farm.id))
    assert signed_in(other.owner).get(theirs).status_code == 404


def test_a_photo_that_is_a_week_late_makes_its_entry_unusual(
    yard: Farmyard, phone: HandPhone, owner: Client, now
):
    day = now().date()
    tree = written(yard, phone, picture())
    text = owner.get(yard.page("entry", tree["id"])).content.decode()
    assert say("en", "reading.photo_not_here", number=1) in text
    assert reads.spread(yard.ground.farm, day, now()).unusual == ()
    now.forward(days=7)
    (late,) = reads.spread(yard.ground.farm, day, now()).unusual
    assert [one.key for one in late.reasons] == ["unusual.photo_missing"]
