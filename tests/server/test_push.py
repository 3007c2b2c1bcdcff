"""A push, its frame and every outcome of the contract's table, through HTTP."""

from __future__ import annotations

import gzip
import json
from uuid import UUID

import pytest

from server.book.models import Receipt, Row
from server.book.reads import looked_up
from server.intake import desk
from server.intake.desk import Draft
from server.people.models import Farm
from shared.sync.chain import NO_HEAD, BookRow, first_chain, next_chain
from shared.wire import lines
from shared.wire.pull import read_row
from shared.wire.push import Stays, content_digest
from tests.server.ground import Ground, HandPhone, entry_tree, fresh_id, outcomes, raw

pytestmark = pytest.mark.django_db


def problem(answer: object) -> tuple[int, str]:
    assert answer.headers["Content-Type"].startswith("application/problem+json")  # type: ignore[attr-defined]
    told = answer.json()  # type: ignore[attr-defined]
    assert told["title"]
    assert told["status"] == answer.status_code  # type: ignore[attr-defined]
    return answer.status_code, told["code"]  # type: ignore[attr-defined]


def test_W8_a_sound_new_entry_is_kept_with_its_book_number(phone: HandPhone, ground: Ground) -> None:
    before = ground.fresh().number
    tree = phone.write(field=ground.fields[0])
    told = phone.push().json()
    assert told["results"] == [{"line": 1, "outcome": "kept", "number": before + 1}]
    assert (told["line"], told["head"]) == (1, phone.head(1))
    row = looked_up(ground.farm.id).get(number=before + 1)
    assert bytes(row.raw) == phone.kept[0]
    assert (str(row.entry), row.kind, row.field) == (tree["id"], "cover", ground.fields[0])


def test_W8_a_known_sha_answers_already_with_what_it_was(phone: HandPhone, ground: Ground, now) -> None:
    phone.write()
    phone.kept.append(b"not json at all")
    first = phone.push().json()
    other = HandPhone.join(ground, now(), "another-nonce")
    other.kept = list(phone.kept)
    told = other.push().json()
    assert [(one["outcome"], one["was"]) for one in told["results"]] == [
        ("already", "kept"),
        ("already", "held"),
    ]
    assert [one["number"] for one in told["results"]] == [one["number"] for one in first["results"]]
    assert told["results"][1]["code"] == "not_json"
    assert Row.objects.filter(phone=other.id).count() == 0
    assert other.row.line == 2


def test_W8_the_same_line_twice_in_one_push_is_kept_once(phone: HandPhone, ground: Ground) -> None:
    phone.write()
    phone.kept.append(phone.kept[0])
    told = phone.push().json()
    assert [one["outcome"] for one in told["results"]] == ["kept", "already"]
    assert told["results"][1] == {
        "line": 2,
        "outcome": "already",
        "was": "kept",
        "number": told["results"][0]["number"],
    }


def test_W8_an_unsound_entry_is_held_with_its_bytes_and_blocks_no_other(
    phone: HandPhone, ground: Ground
) -> None:
    phone.write()
    phone.kept.append(b'{"id": "\xff"}')
    phone.write(body={"cover": "rye", "height_in": 31, "heads": "none"})
    phone.write()
    told = phone.push().json()
    assert [one["outcome"] for one in told["results"]] == ["kept", "held", "held", "kept"]
    assert [one.get("code") for one in told["results"]] == [None, "not_utf8", "wrong_type", None]
    assert told["results"][2]["detail"].startswith("body.height_in")
    held = Row.objects.get(phone=phone.id, line=2)
    assert bytes(held.raw) == phone.kept[1]
    assert held.entry == lines.handle(held.sha)


def test_W8_an_id_that_came_before_with_other_bytes_is_held_as_a_conflict(
    phone: HandPhone, ground: Ground
) -> None:
    tree = phone.write()
    phone.kept.append(raw(tree | {"mono_ms": 2000}))
    assert outcomes(phone.push()) == ["kept", "held"]
    phone.kept.append(raw(tree | {"mono_ms": 3000}))
    told = phone.push(3).json()["results"][0]
    assert (told["outcome"], told["code"]) == ("held", "id_conflict")
    names = list(Row.objects.filter(phone=phone.id).order_by("line").values_list("entry", flat=True))
    assert names == [UUID(tree["id"]), *(lines.handle(lines.sha(one)) for one in phone.kept[1:])]


def test_W8_a_conflict_sent_again_under_another_enrolment_is_already_held(
    phone: HandPhone, ground: Ground, now
) -> None:
    tree = phone.write()
    phone.kept.append(raw(tree | {"mono_ms": 2000}))
    phone.push()
    other = HandPhone.join(ground, now(), "another-nonce")
    other.kept = [phone.kept[1], phone.kept[0]]
    told = other.push().json()["results"]
    assert [(one["outcome"], one["was"]) for one in told] == [("already", "held"), ("already", "kept")]


def test_W8_an_unsound_line_with_a_taken_id_goes_by_its_handle(phone: HandPhone, ground: Ground) -> None:
    tree = phone.write()
    phone.kept.append(raw(tree | {"unknown": 1}))
    told = phone.push().json()["results"]
    assert [one["outcome"] for one in told] == ["kept", "held"]
    assert Row.objects.get(phone=phone.id, line=2).entry == lines.handle(lines.sha(phone.kept[1]))


def test_W8_a_handle_taken_as_an_id_by_somebody_breaks_nothing(phone: HandPhone, ground: Ground) -> None:
    bad = b"[1]"
    phone.write(id=str(lines.handle(lines.sha(bad))))
    phone.kept.append(bad)
    assert outcomes(phone.push()) == ["kept", "held"]


def test_W8_a_line_over_64_kib_is_refused_and_its_sha_moves_the_head(
    phone: HandPhone, ground: Ground
) -> None:
    phone.write(kind="note", body={"text": "x" * 66_000})
    phone.write()
    told = phone.push().json()
    assert [one["outcome"] for one in told["results"]] == ["refused", "kept"]
    assert told["results"][0]["code"] == "too_large"
    assert told["head"] == phone.head(2)
    row = Row.objects.get(phone=phone.id, line=1)
    assert (row.raw, row.entry) == (None, None)


def test_W6_a_line_that_stays_is_refused_and_may_come_whole_under_another_enrolment(
    phone: HandPhone, ground: Ground, now
) -> None:
    phone.write()
    whole = phone.kept[0]
    assert isinstance(whole, bytes)
    phone.kept[0] = Stays(lines.sha(whole), len(whole))
    told = phone.push().json()
    assert told["results"][0]["outcome"] == "refused"
    assert told["head"] == phone.head(1)
    other = HandPhone.join(ground, now(), "another-nonce")
    other.kept = [whole]
    assert outcomes(other.push()) == ["kept"]


def test_W8_lines_up_to_the_head_are_answered_as_before(phone: HandPhone, ground: Ground) -> None:
    phone.write()
    phone.kept.append(b"{}")
    first = phone.push().json()
    phone.write()
    again = phone.push().json()
    assert [one["outcome"] for one in again["results"]] == ["already", "already", "kept"]
    assert [one.get("was") for one in again["results"][:2]] == ["kept", "held"]
    assert again["results"][1]["code"] == first["results"][1]["code"]
    assert [one["number"] for one in again["results"][:2]] == [one["number"] for one in first["results"]]


def test_W8_another_sha_under_a_line_that_was_taken_is_a_fork(phone: HandPhone, ground: Ground) -> None:
    phone.write()
    phone.write()
    phone.push()
    rows = Row.objects.count()
    del phone.kept[1:]
    phone.write()
    assert problem(phone.push()) == (409, "fork")
    phone.write()
    assert problem(phone.push(3)) == (409, "fork")
    assert Row.objects.count() == rows


def test_W8_a_phone_ahead_of_the_server_hears_of_a_gap_and_what_is_expected(
    phone: HandPhone, ground: Ground
) -> None:
    for _ in range(4):
        phone.write()
    phone.push(1, 2)
    answer = phone.push(4)
    assert problem(answer) == (409, "gap")
    assert answer.json()["expect"] == 3
    assert outcomes(phone.push(3)) == ["kept", "kept"]


def test_W6_prev_must_be_the_head_before_the_first_line(phone: HandPhone, ground: Ground) -> None:
    phone.write()
    assert problem(phone.push(prev="ab" * 32)) == (409, "fork")
    assert outcomes(phone.push(prev=NO_HEAD)) == ["kept"]


@pytest.mark.parametrize("cut", ["whole_line", "no_feed", "half", "one_more", "empty"])
def test_W6_a_body_cut_short_or_altered_is_400_and_applies_nothing(
    phone: HandPhone, ground: Ground, cut: str
) -> None:
    phone.write()
    phone.write()
    body = phone.body(1)
    spoilt = {
        "whole_line": body[: body.rindex(b"\n", 0, -1) + 1],
        "no_feed": body[:-1],
        "half": body[: len(body) // 2],
        "one_more": body + b"{}\n",
        "empty": b"",
    }[cut]
    assert problem(phone.send(spoilt)) == (400, "bad_frame")
    assert problem(phone.send(spoilt, **{"Content-Digest": content_digest(body)})) == (400, "bad_frame")
    assert phone.row.line == 0
    assert not Row.objects.filter(phone=phone.id).exists()
    assert not Receipt.objects.filter(phone=phone.id).exists()


@pytest.mark.parametrize("digest", ["", "sha-256=:AAAA:", "sha-512=:AAAA:", "nonsense"])
def test_W6_a_wrong_or_missing_digest_is_400(phone: HandPhone, ground: Ground, digest: str) -> None:
    phone.write()
    assert problem(phone.send(phone.body(1), **{"Content-Digest": digest})) == (400, "bad_frame")
    assert phone.row.line == 0


def test_W6_a_gzip_body_is_digested_as_it_was_sent(phone: HandPhone, ground: Ground) -> None:
    phone.write()
    packed = gzip.compress(phone.body(1), 1)
    assert outcomes(phone.send(packed, **{"Content-Encoding": "gzip"})) == ["kept"]


def test_W6_a_gzip_bomb_is_413_and_half_a_gzip_400(phone: HandPhone, ground: Ground) -> None:
    bomb = gzip.compress(b"0" * 50_000_000, 9)
    assert problem(phone.send(bomb, **{"Content-Encoding": "gzip"})) == (413, "too_large")
    phone.write()
    packed = gzip.compress(phone.body(1), 1)
    for spoilt in (packed[:-5], packed + b"x", b"not gzip"):
        assert problem(phone.send(spoilt, **{"Content-Encoding": "gzip"})) == (400, "bad_frame")
    assert problem(phone.send(packed, **{"Content-Encoding": "br"})) == (400, "bad_frame")


def test_W6_more_than_500_lines_or_a_mebibyte_is_413(phone: HandPhone, ground: Ground) -> None:
    for _ in range(501):
        phone.kept.append(b"{}")
    assert problem(phone.push()) == (413, "too_large")
    phone.kept = []
    for _ in range(18):
        phone.write(kind="note", body={"text": "x" * 60_000})
    assert problem(phone.push()) == (413, "too_large")
    assert outcomes(phone.push(1, 17)) == ["kept"] * 17


def test_W6_lines_of_another_enrolment_are_refused_whole(phone: HandPhone, ground: Ground, now) -> None:
    other = HandPhone.join(ground, now(), "another-nonce")
    other.write()
    assert problem(phone.send(other.body(1))) == (400, "bad_frame")


def test_W7_a_push_of_no_lines_answers_where_the_phone_stands(phone: HandPhone, ground: Ground) -> None:
    phone.write()
    phone.push()
    told = phone.push(2).json()
    assert (told["results"], told["line"], told["head"], told["safe"]) == ([], 1, phone.head(1), 0)


def test_W1_a_field_or_person_that_was_never_this_farms_is_held(phone: HandPhone, ground: Ground) -> None:
    phone.write(field=fresh_id())
    phone.write(by=fresh_id())
    phone.write(done_by=fresh_id())
    phone.write(done_by="the neighbour's son")
    told = phone.push().json()["results"]
    assert [one.get("code") for one in told] == ["unknown_field", "unknown_person", "unknown_person", None]


def test_W11_numbers_have_no_gaps_and_the_chain_recomputes(phone: HandPhone, ground: Ground, now) -> None:
    other = HandPhone.join(ground, now(), "another-nonce")
    for each in (phone, other, phone):
        each.write()
        each.kept.append(b"nonsense %d" % len(each.kept) + str(each.id).encode())
        each.push(len(each.kept) - 1)
    farm = Farm.objects.get(id=ground.farm.id)
    chain = first_chain(farm.id)
    rows = list(Row.objects.filter(farm=farm).order_by("number"))
    assert [row.number for row in rows] == list(range(1, farm.number + 1))
    for row in rows:
        link = BookRow(row.number, row.phone_id, row.line, row.outcome, row.code, row.arrived_at, row.sha)
        chain = next_chain(chain, link)
        assert row.chain == chain
    assert farm.chain == chain


def test_W16_how_far_the_clock_is_ahead_is_told_and_kept_for_each_boot(
    phone: HandPhone, ground: Ground
) -> None:
    phone.write()
    told = phone.push(sent_at="2026-06-01T08:03:00.500-04:00").json()
    assert told["skew_ms"] == 180_500
    assert phone.row.boots.get().skew_ms == 180_500


@pytest.mark.parametrize(
    "sent_at", ["9999-12-31T23:59:59-23:00", "0000-01-01T00:00:00Z", "2016-12-31T23:59:60Z"]
)
def test_W16_no_clock_however_wrong_stops_a_push(phone: HandPhone, ground: Ground, sent_at: str) -> None:
    phone.write(made_at=sent_at, done_at=sent_at)
    phone.write(done_at="0001-01-01")
    assert outcomes(phone.push(sent_at=sent_at)) == ["kept", "kept"]


def test_W12_every_answer_says_the_time_and_where_the_phones_lines_stand(
    phone: HandPhone, ground: Ground
) -> None:
    phone.write()
    body = phone.body(1)
    for answer in (phone.send(body), phone.send(body[:-2]), phone.pull()):
        assert answer.headers["Goodground-Time"].startswith("2026-06-01T12:00:00")
        assert answer.headers["Goodground-Line"] == f"1 {phone.head(1)[:16]}"


def test_a_refusal_is_told_in_the_persons_language(phone: HandPhone, ground: Ground) -> None:
    answer = phone.send(b"", **{"Accept-Language": "es-MX,es;q=0.9,en;q=0.1"})
    assert answer.json()["title"] == "Lo que llegó no está completo"
    assert phone.send(b"", **{"Accept-Language": "fr;q=nonsense"}).json()["title"] == "What came is not whole"


def test_what_an_unsound_entry_says_is_quoted_no_further_than_can_be_kept(
    phone: HandPhone, ground: Ground
) -> None:
    phone.kept.append(json.dumps({"k" * 60_000: 1}).encode())
    phone.kept.append(b'{"\\ud800":1,"\\ud800":2}')
    phone.kept.append(b'{"\\u0000":1,"\\u0000":2}')
    told = phone.push().json()["results"]
    assert [one["code"] for one in told] == ["unknown_key", "key_twice", "key_twice"]
    assert all(len(one.get("detail", "")) <= 500 for one in told)
    assert len(Row.objects.get(phone=phone.id, line=1).detail) <= 500


def test_figures_and_texts_of_any_size_that_are_sound_are_kept_and_folded(
    phone: HandPhone, ground: Ground, now
) -> None:
    body = {"what": "field", "subject": str(ground.fields[0]), "version": 2**53 - 1, "name": "n" * 5_000}
    body |= {"why": "w" * 50_000, "cap_in": "999999999.999999999", "slope_pct": "-999999999.999999999"}
    desk_line = raw(entry_tree(ground.owner.id, "land", body, boot=None))
    desk.write(ground.farm.id, ground.owner.id, [Draft(lines.decode(desk_line).body)], now())
    phone.write(kind="leg", body={"leg": "hay", "starts_on": "0001-01-01", "why": "x", "crop": "c" * 9_000})
    phone.write(
        kind="note",
        body={"text": "\U0001f33e" * 10_000},
        stop=-(2**53) + 1,
        land=2**53 - 1,
        mono_ms=2**53 - 1,
    )
    assert outcomes(phone.push()) == ["kept", "kept"]
    rows, _ = phone.pull_all()
    field = read_row("fields", rows["fields"][str(ground.fields[0])])
    assert (str(field.cap_in), field.version) == ("999999999.999999999", 2**53 - 1)
