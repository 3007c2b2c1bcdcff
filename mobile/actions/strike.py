"""Rule an entry out, with a reason; or undo at once what was just saved."""

from __future__ import annotations

from mobile.actions.save_entry import NewEntry, Saved, save_entry
from mobile.ports import Phone
from mobile.trouble import UndoTooLate
from shared.words.bodies.reading import UNDONE_AT_ONCE, Strike
from shared.words.entry import Entry

UNDO_MS = 10_000


def strike(phone: Phone, enrolment: int, entry: Entry, why: str) -> Saved:
    """Raises as ``save_entry`` does."""
    new = NewEntry(body=Strike(of=entry.kind, why=why), field=entry.field, part=entry.part, names=entry.id)
    return save_entry(phone, enrolment, new)


def undo(phone: Phone, saved: Saved) -> Saved:
    """Strike what was saved less than ten seconds ago by the steady clock. Raises ``UndoTooLate`` after that."""
    if not can_undo(phone, saved):
        raise UndoTooLate
    return strike(phone, saved.enrolment, saved.entry, UNDONE_AT_ONCE)


def can_undo(phone: Phone, saved: Saved) -> bool:
    since_ms = phone.clock.steady_ms() - saved.steady_ms
    return saved.boot == phone.clock.boot and since_ms <= UNDO_MS
