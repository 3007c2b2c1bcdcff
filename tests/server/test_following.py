"""What follows from the book: land, queries, verdicts, standings; the same however it was fed."""

from __future__ import annotations

import random
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest

from server.intake import desk
from server.intake.desk import Draft
from server.land import models as land_models
from server.land import reads as land
from server.people.models import Person
from server.status import reads as status
from server.status.models import Due, FieldYear, Standing, Verdict
from server.status.writes import rebuild
from shared.errors import Unsound
from shared.words.bodies.desk import LegChange, SheetChoice
from shared.words.bodies.gate import PileCheck
from shared.words.bodies.reading import Correction, Query, Reading, Strike
from shared.words.bodies.told import Note
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, fresh_id, land_body, square

pytestmark = pytest.mark.django_db


def write(ground: Ground, now: Clock, *drafts: Draft) -> list[Any]:
    return desk.write(ground.farm.id, ground.owner.id, drafts, now())


def strike(entry: UUID, of: str, **more: Any) -> Draft:
    return Draft(Strike(of, "slip"), names=entry, **more)


def test_a_new_version_of_a_field_is_in_force_and_the_old_one_is_kept(ground: Ground, now: Clock) -> None:
    field = ground.fields[0]
    write(
        ground,
        now,
        Draft(land_body(field, "Upper Rest", square("40.1", "-75.1", "0.001"), version=2), field=field),
    )
    value = land.field(ground.farm.id, field)
    assert value is not None
    assert (value.version, value.area_ac) == (2, pytest.approx(2.34, abs=0.01))
    assert [one.version for one in land.versions(ground.farm.id, field)] == [1, 2]


def test_a_struck_version_gives_way_to_the_one_before(ground: Ground, now: Clock) -> None:
    field = ground.fields[0]
    row = write(ground, now, Draft(land_body(field, "Renamed", None, version=2), field=field))[0]
    write(ground, now, strike(row.entry, "land"))
    value = land.field(ground.farm.id, field)
    assert value is not None
    assert (value.name, value.version) == ("Upper Rest", 1)


def test_leaves_may_go_on_what_the_buffers_leave(ground: Ground, now: Clock) -> None:
    before = land.field(ground.farm.id, ground.fields[0])
    around = square("40.1005", "-75.0995", "0.0001")
    well = land_body(fresh_id(), "well", around, what="buffer", around="well", setback_ft=Decimal(100))
    write(ground, now, Draft(well))
    after = land.field(ground.farm.id, ground.fields[0])
    assert before is not None
    assert after is not None
    assert after.area_ac == before.area_ac
    assert 0.8 < before.spreadable_ac - after.spreadable_ac < 1.4
    assert land.field(ground.farm.id, ground.fields[1]).spreadable_ac == pytest.approx(
        before.spreadable_ac, rel=1e-3
    )


def test_a_land_entry_from_a_phone_has_no_force(phone: HandPhone, ground: Ground, now: Clock) -> None:
    body = {"what": "field", "subject": str(ground.fields[0]), "version": 9, "name": "Seized", "why": "mine"}
    phone.write(kind="land", body=body, boot=None)
    phone.push()
    phone.pull_all()
    assert land.field(ground.farm.id, ground.fields[0]).name == "Upper Rest"


def test_land_of_another_farm_is_not_drawn_over(ground: Ground, now: Clock) -> None:
    from tests.server.ground import found

    other = found("Second Bottom", now())
    stolen = land_body(ground.fields[0], "Stolen", square("40.1", "-75.1"), version=2)
    desk.write(other.farm.id, other.owner.id, [Draft(stolen)], now())
    assert land_models.Field.objects.get(id=ground.fields[0]).name == "Upper Rest"


def test_legs_and_sheets_follow_from_the_desk(ground: Ground, now: Clock) -> None:
    field = ground.fields[0]
    write(
        ground,
        now,
        Draft(LegChange("cash", date(2025, 4, 1), "garlic", "garlic"), field=field),
        Draft(LegChange("leaf", date(2025, 10, 20), "out of garlic"), field=field),
        Draft(SheetChoice("new_jersey", True, date(2026, 1, 1), "begins")),
        Draft(SheetChoice("nop", True, date(2026, 1, 1), "begins")),
        Draft(SheetChoice("nop", False, date(2026, 2, 1), "not certified")),
    )
    legs = land.legs(ground.farm.id, field)[field]
    assert [one.leg for one in legs] == ["cash", "leaf"]
    assert land.leg_on(legs, date(2025, 10, 19)).crop == "garlic"
    assert [(one.sheet, one.in_force) for one in land.sheets(ground.farm.id)] == [
        ("new_jersey", True),
        ("nop", False),
    ]
    assert [one.name for one in land.sheets_in_force(ground.farm.id)] == ["new_jersey"]


def test_at_the_desk_nothing_is_held_but_told_at_once(ground: Ground, now: Clock) -> None:
    before = ground.fresh().number
    for draft in (Draft(Note("x"), field=fresh_id()), Draft(Note("x"), by=fresh_id())):
        with pytest.raises(Unsound):
            write(ground, now, Draft(Note("kept with it or not at all")), draft)
    assert ground.fresh().number == before


def test_W11c_the_desk_is_one_enrolment_with_lines_of_its_own(ground: Ground, now: Clock) -> None:
    rows = write(ground, now, Draft(Note("one")), Draft(Note("two"), from_paper=True))
    assert [row.line for row in rows] == [3, 4]
    assert rows[0].phone.desk
    assert rows[0].phone.token_sha is None


def verdict(ground: Ground, entry: str | UUID) -> Verdict | None:
    return status.verdicts(ground.farm.id, [UUID(str(entry))]).get(UUID(str(entry)))


def test_an_entry_that_nobody_spoke_of_has_no_verdict(phone: HandPhone, ground: Ground) -> None:
    tree = phone.write(field=ground.fields[0])
    phone.push()
    assert verdict(ground, tree["id"]) is None


def test_a_reading_initials_and_a_struck_reading_does_not(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    trees = [phone.write(field=ground.fields[0]) for _ in range(3)]
    phone.push()
    ids = tuple(UUID(tree["id"]) for tree in trees)
    reading = write(ground, now, Draft(Reading(ids, "initialled", False)))[0]
    assert [verdict(ground, one).mark for one in ids] == ["initialled"] * 3
    write(ground, now, strike(reading.entry, "reading"))
    assert [verdict(ground, one).mark for one in ids] == ["unread"] * 3


def test_a_query_stands_until_it_is_answered_and_comes_down_to_the_phone(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    tree = phone.write(field=ground.fields[0])
    phone.push()
    asked = write(ground, now, Draft(Query("which_field", "near the road?"), names=UUID(tree["id"])))[0]
    assert verdict(ground, tree["id"]).mark == "query"
    rows, cursor = phone.pull_all()
    query = rows["queries"][str(asked.entry)]
    assert (query["about"], query["to"], query["text"], query["answered"]) == (
        *(tree["id"], str(ground.crew.id), "near the road?", False),
    )
    assert rows["verdicts"][tree["id"]]["mark"] == "query"
    phone.write(kind="answer", body={"text": "yes, the near one"}, names=str(asked.entry))
    phone.push(2)
    rows, _ = phone.pull_all(cursor)
    assert rows["queries"][str(asked.entry)]["answered"] is True
    assert rows["verdicts"][tree["id"]]["mark"] == "unread"


def test_W9_a_held_entry_is_taken_as_it_is_mended_or_put_by(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    good = phone.write(field=ground.fields[0], by=ground.crew.id)
    stranger = phone.write(field=fresh_id())
    phone.kept.append(b"not json")
    phone.push()
    held = UUID(stranger["id"])
    from shared.wire import lines

    broken = lines.handle(lines.sha(b"not json"))
    assert [verdict(ground, one).mark for one in (held, broken)] == ["held", "held"]
    write(ground, now, Draft(Reading((held,), "taken_as_is", True)))
    assert verdict(ground, held).mark == "initialled"
    mended = Correction("note", Note("the gate was open"), "typed from the screen")
    write(ground, now, Draft(mended, names=broken, by=ground.owner.id))
    assert verdict(ground, broken).mark == "unread"
    assert verdict(ground, broken).corrected_by is not None
    write(ground, now, Draft(Reading((broken,), "put_by", True, "said twice")))
    assert verdict(ground, broken).mark == "put_by"
    assert verdict(ground, good["id"]) is None


def test_W2_a_correction_that_came_first_is_in_force_when_its_entry_comes(
    phone: HandPhone, ground: Ground
) -> None:
    entry = str(fresh_id())
    body = {
        "of": "cover",
        "body": {"cover": "oats", "height_in": "12", "heads": "none"},
        "why": "wrong plant",
    }
    correction = phone.write(kind="correction", body=body, names=entry, field=ground.fields[0])
    phone.push()
    assert verdict(ground, entry) is None
    phone.write(id=entry, field=ground.fields[0])
    phone.push(2)
    assert str(verdict(ground, entry).corrected_by) == correction["id"]
    assert covers(ground)[0]["cover"] == "oats"


def covers(ground: Ground) -> list[dict[str, Any]]:
    year = FieldYear.objects.get(farm=ground.farm, field=ground.fields[0], year=2026)
    return [
        dict(zip(("stop", "height_in", "heads", "cover"), stop, strict=False))
        for walk in year.gathered["rounds"]
        for stop in walk["cover"]
    ]


def test_W2_a_strike_takes_a_stop_out_of_the_fields_year(phone: HandPhone, ground: Ground) -> None:
    tree = phone.write(field=ground.fields[0], stop=1)
    phone.write(field=ground.fields[0], stop=2)
    phone.push()
    status.standings(ground.farm.id)
    assert [one["stop"] for one in covers(ground)] == [1, 2]
    phone.write(kind="strike", body={"of": "cover", "why": "slip"}, names=tree["id"], field=ground.fields[0])
    phone.push(3)
    assert verdict(ground, tree["id"]).struck
    assert [one["stop"] for one in covers(ground)] == [2]


def test_a_load_counts_where_it_went_wherever_it_was_written(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    from server.land.writes import put_town

    town = put_town(ground.farm.id, now(), name="Fallowdale")
    pile = fresh_id()
    write(ground, now, Draft(land_body(pile, "North pile", None, what="pile")))
    body = {
        "ticket": "R-1",
        "town": str(town.id),
        "beds": [["25", "80"]],
        "packing": "vacuumed",
        "bags": "none",
        "checked": "glance",
        "trash": "none",
        "trash_items": [],
        "trash_basis": "seen",
        "outcome": "taken",
        "to": [[str(ground.fields[1]), "12"], [str(pile), "8"]],
    }
    phone.write(kind="load", body=body, field=ground.fields[0])
    phone.push()
    standings = status.standings(ground.farm.id)
    assert [Decimal(one["yards_yd3"]) for one in standings[ground.fields[1]]["towns"]] == [12]
    assert [one.in_yd3 for one in status.piles(ground.farm.id)] == [8]
    write(ground, now, Draft(PileCheck(pile, temp_f="165")))
    assert status.piles(ground.farm.id)[0].checked.temp_f == 165
    rows, _ = phone.pull_all()
    assert {str(pile), *map(str, ground.fields)} <= rows["standings"].keys()


def test_W12_dues_are_rows_that_come_and_go(phone: HandPhone, ground: Ground, now: Clock) -> None:
    rows, cursor = phone.pull_all()
    mine = {
        ref
        for ref, one in rows["dues"].items()
        if one["job"] == "sample_soil" and one["field"] == str(ground.fields[0])
    }
    assert len(mine) == 1
    phone.write(kind="sample", body={"of": "soil", "lab_bag": "R-1"}, field=ground.fields[0])
    phone.push()
    page = phone.pull(cursor).json()
    assert set(page["gone"]["dues"]) == mine
    changed = {one["why"] for one in page["rows"]["dues"] if one["job"] == "sample_soil"}
    assert changed == {"dues.sample_soil.yearly"}
    cursor = page["next"]
    assert phone.pull(cursor).status_code == 304
    now.forward(days=1)
    assert phone.pull(cursor).status_code in (200, 304)
    ground.farm.refresh_from_db()
    assert ground.farm.dues_on == date(2026, 6, 2)


def everything(ground: Ground) -> dict[str, Any]:
    """All that follows from the book, without the turns."""
    farm = ground.farm.id
    return {
        "standings": {one.field: one.standing for one in Standing.objects.filter(farm=farm)},
        "years": {(one.field, one.year): one.gathered for one in FieldYear.objects.filter(farm=farm)},
        "verdicts": {one.entry: one.value() for one in Verdict.objects.filter(farm=farm)},
        "dues": {one.ref: one.value() for one in Due.objects.filter(farm=farm)},
        "fields": land.fields(farm, retired=True),
        "legs": land.legs(farm),
        "sheets": land.sheets(farm),
        "versions": [
            [(one.version, one.row, one.area_ac) for one in land.versions(farm, field)]
            for field in ground.fields
        ],
    }


def test_I12_status_equals_the_fold_of_the_book_in_any_feeding(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    draw = random.Random(12)
    written: list[tuple[str, str]] = []
    for _ in range(60):
        field = draw.choice(ground.fields)
        match draw.randrange(6):
            case 0 | 1 | 2:
                tree = phone.write(field=field, stop=draw.randrange(9))
            case 3 if written:
                of, entry = draw.choice(written)
                tree = phone.write(kind="strike", body={"of": of, "why": "slip"}, names=entry, field=field)
            case 4 if written:
                of, entry = draw.choice(written)
                inner = {"cover": "oats", "height_in": str(draw.randrange(60)), "heads": "few"}
                body = {"of": of, "body": inner, "why": "looked again"}
                tree = phone.write(
                    kind="correction", body=body, names=entry, field=draw.choice(ground.fields)
                )
            case _:
                phone.kept.append(b"nonsense %d" % len(phone.kept))
                continue
        written.append((tree["kind"] if tree["kind"] == "cover" else "cover", tree["id"]))
        if draw.random() < 0.4:
            phone.push(phone.row.line + 1)
        if draw.random() < 0.2:
            status.standings(ground.farm.id)
        if draw.random() < 0.1:
            ids = tuple(UUID(one) for _, one in draw.sample(written, min(3, len(written))))
            write(ground, now, Draft(Reading(ids, "initialled", False)))
        if draw.random() < 0.1:
            write(
                ground, now, Draft(LegChange("hay", date(2026, draw.randrange(1, 12), 1), "so"), field=field)
            )
    phone.push(phone.row.line + 1)
    phone.pull_all()
    fed = everything(ground)
    assert len(fed["verdicts"]) > 10
    rebuild(ground.fresh(), now())
    assert everything(ground) == fed
    rebuild(ground.fresh(), now())
    assert everything(ground) == fed
    assert Person.objects.filter(farm=ground.farm).count() == 2
