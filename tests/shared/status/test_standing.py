"""What an entry stands as after corrections and strikes (contract, W2)."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from shared.status.standing import Hands, root_of, standing
from shared.words.bodies.desk import LegChange
from shared.words.bodies.reading import Strike
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover, Ground


def cover(height: str, heads: str = "none") -> Cover:
    return Cover("sorghum_sudan", Decimal(height), heads)


def only(written, hands=None, **told):
    (fact,) = [one for one in standing(written, hands or Hands(), **told).facts if one.kind != "reading"]
    return fact


def codes(written, hands=None):
    return sorted(one.code for one in standing(written, hands or Hands()).findings)


def test_w2_an_entry_that_nothing_names_stands_as_it_was_written(pen):
    wrote = pen.write(cover("31"))
    fact = only([wrote])
    assert (fact.body, fact.struck, fact.corrected_by, fact.number) == (cover("31"), False, None, 1)


def test_w2_the_correction_with_the_highest_book_number_wins_whatever_the_clocks_say(pen):
    wrote = pen.write(cover("31"))
    late_clock = pen.correct(wrote, cover("13"), day="2027-01-01", number=2)
    early_clock = pen.correct(wrote, cover("41"), day="2020-01-01", number=3)
    fact = only([early_clock, wrote, late_clock])
    assert (fact.body, fact.corrected_by, fact.before) == (cover("41"), early_clock.entry.id, cover("31"))


def test_w2_a_phones_own_unsent_correction_ranks_after_every_numbered_one(pen):
    wrote = pen.write(cover("31"))
    unsent = pen.correct(wrote, cover("33"), number=None, line=2)
    unsent_later = pen.correct(wrote, cover("34"), number=None, line=3)
    numbered = pen.correct(wrote, cover("32"), number=99)
    assert only([wrote, unsent, numbered]).body == cover("33")
    assert only([wrote, unsent_later, unsent, numbered]).body == cover("34")


def test_w2_a_struck_entry_stays_struck_under_a_correction_that_does_not_name_the_strike(pen):
    wrote = pen.write(cover("31"))
    struck = pen.strike(wrote)
    after = pen.correct(wrote, cover("32"))
    fact = only([wrote, struck, after])
    assert fact.struck_by == struck.entry.id
    assert standing([wrote, struck, after]).in_force == ()


def test_w2_a_correction_that_names_the_strike_revives_the_entry(pen):
    wrote = pen.write(cover("31"))
    struck = pen.strike(wrote)
    revived = pen.correct(struck, cover("32"), of="cover", field=pen.field)
    fact = only([revived, struck, wrote])
    assert (fact.struck, fact.body, fact.corrected_by) == (False, cover("32"), revived.entry.id)


def test_w2_a_second_strike_must_be_named_too(pen):
    wrote = pen.write(cover("31"))
    first, second = pen.strike(wrote), pen.strike(wrote)
    revived = pen.correct(first, cover("32"), of="cover")
    assert only([wrote, first, second, revived]).struck_by == second.entry.id


def test_w2_a_strike_of_a_correction_alone_brings_back_what_stood_before_it(pen):
    wrote = pen.write(cover("31"))
    slip = pen.correct(wrote, cover("13"))
    undone = pen.strike(slip, of="correction")
    fact = only([wrote, slip, undone])
    assert (fact.body, fact.struck, fact.corrected_by) == (cover("31"), False, None)


def test_w2_a_strike_of_the_kind_that_names_a_correction_strikes_the_whole_entry(pen):
    wrote = pen.write(cover("31"))
    corrected = pen.correct(wrote, cover("32"))
    struck = pen.strike(corrected, of="cover")
    assert only([wrote, corrected, struck]).struck


def test_w2_a_strike_of_a_strike_revives_nothing(pen):
    wrote = pen.write(cover("31"))
    struck = pen.strike(wrote)
    again = pen.strike(struck, of="strike")
    assert only([wrote, struck, again]).struck
    assert codes([wrote, struck, again]) == ["names_another_kind"]


def test_w2_a_correction_of_another_kind_is_a_finding_and_has_no_force(pen):
    wrote = pen.write(cover("31"))
    wrong = pen.correct(wrote, Note("wet"), of="note")
    assert only([wrote, wrong]).body == cover("31")
    assert codes([wrote, wrong]) == ["names_another_kind"]


def test_w2_a_corrections_own_place_and_time_replace_the_originals_even_by_nothing(pen):
    wrote = pen.write(cover("31"), part=pen.part, round=pen.pile, stop=4, done_at=date(2026, 5, 30))
    fact = only(
        [wrote, pen.correct(wrote, cover("31"), field=pen.other_field, part=None, stop=5, done_at=None)]
    )
    assert (fact.field, fact.part, fact.round, fact.stop, fact.done_at) == (
        pen.other_field,
        None,
        pen.pile,
        5,
        None,
    )


def test_w2_what_names_an_entry_that_is_not_here_waits_and_is_in_force_when_it_comes(pen):
    wrote = pen.write(cover("31"))
    corrected = pen.correct(wrote, cover("32"))
    assert standing([corrected]).facts == ()
    assert codes([corrected]) == ["names_not_here"]
    assert only([corrected, wrote]).body == cover("32")


def test_w2_two_that_name_the_same_entry_are_crossed_until_one_of_them_is_named(pen):
    wrote = pen.write(cover("31"))
    one, other = pen.correct(wrote, cover("32")), pen.correct(wrote, cover("33"))
    assert codes([wrote, one, other]) == ["crossed"]
    settled = pen.correct(one, cover("34"))
    assert codes([wrote, one, other, settled]) == []
    assert only([wrote, one, other, settled]).body == cover("34")


def test_w2_one_after_the_other_is_not_crossed(pen):
    wrote = pen.write(cover("31"))
    first = pen.correct(wrote, cover("32"))
    assert codes([wrote, first, pen.correct(first, cover("33"))]) == []


def test_w2_anothers_correction_counts_once_it_is_initialled(pen):
    wrote = pen.write(cover("31"))
    bens = pen.correct(wrote, cover("32"), by=pen.ben)
    assert only([wrote, bens]).body == cover("31")
    assert codes([wrote, bens]) == ["awaits_initials"]
    assert only([wrote, bens, pen.initial(bens)]).body == cover("32")
    assert only([wrote, replace(bens, mark="initialled")]).body == cover("32")


def test_w2_a_managers_correction_counts_at_once(pen):
    wrote = pen.write(cover("31"))
    mended = pen.correct(wrote, cover("32"), by=pen.ruth)
    assert only([wrote, mended], Hands(frozenset({pen.ruth}))).body == cover("32")


def test_w2_a_hand_does_not_override_a_managers_correction_without_initials(pen):
    wrote = pen.write(cover("31"))
    managers = pen.correct(wrote, cover("32"), by=pen.ruth)
    hands = pen.correct(managers, cover("33"))
    known = Hands(frozenset({pen.ruth}))
    assert only([wrote, managers, hands], known).body == cover("32")
    assert only([wrote, managers, hands, pen.initial(hands)], known).body == cover("33")


def test_w2_a_struck_reading_takes_its_initials_back(pen):
    wrote = pen.write(cover("31"))
    bens = pen.correct(wrote, cover("32"), by=pen.ben)
    read = pen.initial(bens)
    taken_back = pen.strike(read, by=pen.ruth)
    assert only([wrote, bens, read, taken_back]).body == cover("31")


def test_w2_names_in_a_circle_or_nothing_are_findings_and_have_no_force(pen):
    one = pen.strike(pen.write(cover("31")))
    other = pen.strike(one, of="strike")
    circled = replace(one, entry=replace(one.entry, names=other.entry.id))
    assert codes([circled, other]) == ["names_in_a_circle", "names_in_a_circle"]
    assert root_of(other.entry.id, {w.entry.id: w for w in (circled, other)}) is None
    assert codes([pen.write(Strike("cover", "slip"), names=None)]) == ["names_nothing"]


def test_a_kind_of_the_desk_written_on_a_phone_has_no_force(pen):
    leg = LegChange("hay", date(2026, 5, 1), "seen")
    assert standing([pen.write(leg)]).facts == ()
    assert only([pen.write(leg, at_desk=True)]).body == leg
    assert standing([pen.write(leg, at_desk=True)], Hands(desk=pen.phone)).facts == ()


def test_w9_a_held_entry_stands_once_it_is_taken_as_it_is_or_mended(pen):
    held = pen.write(cover("31"), outcome="held")
    assert standing([held]).facts == ()
    assert only([held, pen.initial(held, mark="taken_as_is")]).body == cover("31")
    assert standing([held, pen.initial(held, mark="put_by")]).in_force[0].kind == "reading"
    assert only([held, pen.correct(held, cover("32"))]).body == cover("32")


def test_w9_a_line_that_can_not_be_read_stands_as_its_correction_tells_it(pen):
    handle = pen.pile
    mend = pen.write(Note("x"))
    mended = replace(
        pen.correct(mend, cover("40"), by=pen.ruth, of="cover", field=pen.field),
    )
    mended = replace(mended, entry=replace(mended.entry, names=handle))
    fact = only([mended], Hands(frozenset({pen.ruth})), unreadable=[handle])
    assert (fact.id, fact.kind, fact.body, fact.field) == (handle, "cover", cover("40"), pen.field)
    assert standing([mended], Hands(frozenset({pen.ruth}))).facts == ()


def test_what_a_phone_could_never_send_has_no_force(pen):
    assert standing([pen.write(cover("31"), outcome="refused")]).facts == ()


def test_of_two_copies_the_numbered_one_counts(pen):
    wrote = pen.write(cover("31"))
    assert only([pen.unsent(wrote), wrote]).number == 1


@st.composite
def tangled(draw, pen):
    """A handful of entries with a tangle of corrections, strikes and initials over them."""
    written = [
        pen.write(draw(st.sampled_from([cover("31"), Ground("moist")])))
        for _ in range(draw(st.integers(1, 3)))
    ]
    for _ in range(draw(st.integers(0, 7))):
        target = draw(st.sampled_from(written))
        by = draw(st.sampled_from([pen.ana, pen.ben, pen.ruth]))
        number = draw(st.sampled_from([None, pen.count + 1]))
        match draw(st.sampled_from(["correct", "strike", "undo", "initial"])):
            case "correct":
                body = cover(str(draw(st.integers(1, 90))))
                written.append(pen.correct(target, body, of="cover", by=by, number=number))
            case "strike":
                written.append(pen.strike(target, of="cover", by=by, number=number))
            case "undo":
                written.append(pen.strike(target, of="correction", by=by, number=number))
            case "initial":
                written.append(pen.initial(target))
    return written


@settings(max_examples=60)
@given(data=st.data())
def test_i12_what_stands_is_the_same_in_any_order_and_however_often_it_is_fed(new_pen, data):
    pen = new_pen()
    written = data.draw(tangled(pen))
    hands = Hands(frozenset({pen.ruth}))
    shuffled = data.draw(st.permutations(written))
    repeats = data.draw(st.lists(st.sampled_from(written)))
    assert standing([*shuffled, *repeats], hands) == standing(written, hands)


@settings(max_examples=60)
@given(data=st.data())
def test_a_group_that_is_closed_under_naming_stands_as_it_does_in_the_whole_book(new_pen, data):
    pen = new_pen()
    one, other = data.draw(tangled(pen)), data.draw(tangled(pen))
    hands = Hands(frozenset({pen.ruth}))
    whole = {fact.id: fact for fact in standing([*one, *other], hands).facts}
    apart = [*standing(one, hands).facts, *standing(other, hands).facts]
    assert whole == {fact.id: fact for fact in apart}


@settings(max_examples=60)
@given(data=st.data())
def test_no_body_stands_but_one_that_was_written_for_the_entry(new_pen, data):
    pen = new_pen()
    written = data.draw(tangled(pen))
    known = {one.entry.id: one for one in written}
    for fact in standing(written, Hands(frozenset({pen.ruth}))).facts:
        if fact.corrected_by is None:
            assert fact.body == known[fact.id].entry.body
        else:
            assert fact.body == known[fact.corrected_by].entry.body.body
            assert root_of(fact.corrected_by, known) == fact.id
        assert fact.kind == known[fact.id].entry.kind
