"""Papers with their dates and photos, visits with what is to be put right, jobs put to people."""

from __future__ import annotations

from datetime import date

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from server.book import reads as book
from server.reading.papers import papers
from server.status import reads as status
from shared.languages import say
from shared.words.bodies.desk import Job
from shared.words.bodies.reading import Strike
from tests.server.web.farmyard import Farmyard, signed_in

PICTURE = b"\xff\xd8\xff" + b"a licence"


def paper(yard: Farmyard, owner: Client, **more):
    own = owner.get(yard.page("write_kind", "document") + "?on=").context["own"]
    form = {"id": own, "what": "licence", "title": "Applicator's licence", "expires_on": "2026-07-01"} | more
    return owner.post(yard.page("write_kind", "document"), form)


def test_a_licence_stands_with_its_last_day_and_its_photo_and_what_ends_first_stands_first(
    yard: Farmyard, owner: Client
):
    assert paper(yard, owner, photo=SimpleUploadedFile("l.jpg", PICTURE)).status_code == 302
    paper(yard, owner, what="approval", title="Leaf approval", expires_on="2026-05-01")
    page = owner.get(yard.page("papers"))
    assert [one.body.title for one, _, _ in page.context["listed"]] == [
        "Leaf approval",
        "Applicator's licence",
    ]
    assert [press for _, _, press in page.context["listed"]] == ["over", "soon"]
    text = page.content.decode()
    assert say("en", "papers.photos", count=1) in text
    assert say("en", "papers.audit.training") in text
    (row, _) = book.of_kinds(yard.farm, ["document"])
    assert not book.entry_of(row).from_paper
    yard.write(Strike("document", "of another farm"), names=row.entry, by=yard.ground.owner)
    assert [one.body.title for one in papers(yard.ground.fresh())] == ["Leaf approval"]


def test_what_a_visit_found_is_put_right_with_what_was_done_and_no_form_overwrites_another(
    yard: Farmyard, owner: Client
):
    paper(
        yard, owner, what="visit", title="County visit", text="pile too near the well", cure_by="2026-06-10"
    )
    (one,) = papers(yard.ground.fresh())
    address, form = yard.page("cured", one.fact.id), {"turn": one.turn, "why": "moved 200 ft off"}
    owner.post(address, form | {"why": ""})
    assert papers(yard.ground.fresh())[0].body.cure_by == date(2026, 6, 10)
    owner.post(address, form)
    (now,) = papers(yard.ground.fresh())
    assert (now.body.cure_by, now.body.text, now.fact.corrected_why) == (
        *(None, "pile too near the well"),
        "moved 200 ft off",
    )
    number = yard.ground.fresh().number
    again = signed_in(yard.hand("Dora Finch", "manager")).post(address, form, follow=True)
    assert say("en", "refusals.can_not_be_taken.detail") in again.content.decode().replace("&#x27;", "'")
    assert yard.ground.fresh().number == number


def test_a_job_is_put_to_somebody_and_a_stale_form_overwrites_nobody(yard: Farmyard, owner: Client):
    paper(yard, owner)
    page = owner.get(yard.page("jobs"))
    due = page.context["dues"][0][0]
    stale = {f"who.{due.id}": yard.ground.owner.id, f"on.{due.id}": "2026-06-02", f"was.{due.id}": ""}
    form = stale | {f"who.{due.id}": yard.ground.crew.id, f"text.{due.id}": "by noon"}
    assert owner.post(yard.page("jobs"), form).status_code == 302
    (put,) = [one for one in status.dues(yard.farm) if one.id == due.id]
    assert (put.person, put.on) == (yard.ground.crew.id, date(2026, 6, 2))
    (row,) = book.of_kinds(yard.farm, ["job"])
    assert book.entry_of(row).body == Job(due.id, yard.ground.crew.id, date(2026, 6, 2), None, "by noon")
    assert owner.post(yard.page("jobs"), stale).status_code == 400
    same = stale | {
        f"who.{due.id}": yard.ground.crew.id,
        f"was.{due.id}": f"{yard.ground.crew.id} 2026-06-02",
    }
    owner.post(yard.page("jobs"), same)
    for wrong in ({f"on.{due.id}": ""}, {f"who.{due.id}": "nobody"}):
        assert owner.post(yard.page("jobs"), stale | wrong).status_code == 400
    assert book.of_kinds(yard.farm, ["job"]).count() == 1
