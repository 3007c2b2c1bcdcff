"""Save what was read at one stop of a round, and go on to the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from mobile.actions.own import own_written
from mobile.actions.round import Round, draft_of, the_round
from mobile.actions.save_entry import NewEntry, Saved, save_entries
from mobile.ports import Phone
from shared.status.standing import Fact, standing
from shared.words.bodies import Body


def save_stop(
    phone: Phone, enrolment: int, stop: int, bodies: Sequence[Body], asked: Mapping[str, str] | None = None
) -> tuple[Round, tuple[Saved, ...]]:
    """One entry for each measure of the stop, and the round with this stop done, in one commit: a kill leaves
    all of it or none. ``asked`` are answers to be kept for the rest of the round. A stop saved again adds
    entries. Raises ``NoRound`` or as ``save_entry`` does."""
    walked = the_round(phone, enrolment)
    after = replace(walked.with_done(stop), asked={**walked.asked, **(asked or {})})
    new = [
        NewEntry(body=body, field=walked.field, part=walked.part, round=walked.id, stop=stop)
        for body in bodies
    ]
    saved = save_entries(phone, enrolment, new, draft_of(after))
    return after, saved


def skip_stop(phone: Phone, enrolment: int, stop: int) -> Round:
    """Pass a stop by: nothing is recorded of it."""
    walked = the_round(phone, enrolment)
    after = walked if stop in walked.skipped else replace(walked, skipped=(*walked.skipped, stop))
    phone.book.keep_draft(enrolment, draft_of(after))
    return after


def undo_stop(phone: Phone, enrolment: int, stop: int) -> Round:
    """The stop stands open again, after what was saved at it was undone."""
    walked = the_round(phone, enrolment)
    after = replace(walked, done=tuple(one for one in walked.done if one != stop))
    phone.book.keep_draft(enrolment, draft_of(after))
    return after


def walked_so_far(phone: Phone, enrolment: int, round: Round) -> tuple[Fact, ...]:
    """What stands of this round's entries after corrections and strikes, in order."""
    facts = standing(own_written(phone, enrolment, round.since_line)).in_force
    return tuple(one for one in facts if one.round == round.id)
