"""What people write on the phones of a world: entries of every kind, sound and unsound, and what becomes of each."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

import pytest

from mobile.actions.correct import correct
from mobile.actions.ids import new_id
from mobile.actions.keep_photo import keep_photo
from mobile.actions.save_entry import NewEntry, save_entries, save_entry
from mobile.actions.strike import strike
from mobile.ports import Draft, NewLine
from mobile.trouble import BookLocked
from shared.wire.lines import sha
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover
from tests.mobile.kit import cover, note

if TYPE_CHECKING:
    from tests.server.ground import Ground
    from tests.simulation.handset import Handset

STRANGER = UUID("01900000-0000-7000-8000-00000000dead")
NEWCOMERS = tuple(UUID(f"01900000-0000-7000-8000-0000000{place}cafe") for place in (1, 2))
"""Somebody of each farm whom its server may not know yet, or no more."""
JPEG = b"\xff\xd8\xff\xe0 a picture "
GOLDEN = Path(__file__).resolve().parents[1] / "golden/v1"
OF_THE_DESK = (
    "land",
    "leg",
    "document",
    "plan",
    "sheet_choice",
    "job",
    "seal",
    "restored",
    "redact",
    "reading",
)
GOLDENS = tuple(
    json.loads(file.read_text("utf-8"))
    for file in sorted(GOLDEN.glob("*.json"))
    if file.stem not in OF_THE_DESK
)
PLAIN: dict[str, Any] = {"ensure_ascii": False, "separators": (",", ":")}
FORMS: tuple[tuple[dict[str, Any], dict[str, Any]], ...] = (
    ({}, PLAIN),
    ({"done_at": "2026-05-11", "part": str(STRANGER)}, PLAIN),
    ({"done_at": "2026-05-11T18:00:00+02:00", "done_by": "the neighbour’s son"}, {"ensure_ascii": True}),
    ({"at": None, "boot": None, "mono_ms": None, "made_at": "2026-05-11t23:59:60z"}, PLAIN),
)
"""What else a sound entry may say, and how else it may be written."""
LONG = 50_000


class Writing:
    """The part of a world that writes."""

    saved: list[dict[str, str]]
    ever: list[set[str]]
    seen: set[str]
    handsets: list[Handset]
    grounds: tuple[Ground, Ground]
    folder: Path

    def at(self, which: int, farm: int) -> tuple[Handset, int, int]:
        """A phone, the farm that is meant of its own, and its enrolment there."""
        handset = self.handsets[which]
        own = sorted(handset.farms)[farm % len(handset.farms)]
        return handset, own, handset.farms[own]

    def note_saved(self, farm: int, one: str, becomes: str = "kept") -> None:
        self.saved[farm][one] = becomes
        self.ever[farm].add(one)

    def save(self, which: int, farm: int, count: int) -> None:
        """Stops of a round, and how the round stands, in one commit."""
        handset, own, at = self.at(which, farm)
        field = self.grounds[own].fields[count % 2]
        body = Cover(cover="rye", height_in=Decimal(20 + count), heads="none")
        new = [NewEntry(body=body, field=field, stop=stop) for stop in range(1, count + 1)]
        for one in save_entries(
            handset.phone, at, new, Draft("round", {"stops": count} if count > 1 else None)
        ):
            self.note_saved(own, one.sha)
        assert handset.phone.book.draft(at, "round") == ({"stops": count} if count > 1 else None)

    def save_long(self, which: int, farm: int, size: int) -> None:
        handset, own, at = self.at(which, farm)
        self.note_saved(own, note(handset.phone, at, "x" * size).sha)

    def save_stranger(self, which: int, farm: int) -> None:
        """An entry by somebody who was never this farm's: held."""
        handset, own, at = self.at(which, farm)
        new = NewEntry(body=Note(text="who am I"), by=STRANGER)
        self.note_saved(own, save_entry(handset.phone, at, new).sha, "held")

    def save_garbage(self, which: int, farm: int, text: str) -> None:
        """Bytes that are no entry, as a broken app might write them: held, and in nobody's way."""
        handset, own, at = self.at(which, farm)
        id = UUID(bytes=handset.phone.chance.bytes(16))
        raw = f"{text}{id}".encode()
        handset.phone.book.save(at, [NewLine(id, "note", None, None, 0, raw)])
        self.note_saved(own, sha(raw), "held")

    def save_twin(self, which: int, farm: int) -> None:
        """An entry under an id that another phone of the farm has used: whichever comes first is kept."""
        handset, own, at = self.at(which, farm)
        for other in self.handsets:
            if other is handset or own not in other.farms:
                continue
            theirs = other.phone.book.written(other.farms[own], limit=1)
            if theirs and theirs[0].raw.startswith(b"{") and handset.phone.book.own(at, theirs[0].id) is None:
                raw = theirs[0].raw.replace(b'"mono_ms":', b'"mono_ms":1')
                handset.phone.book.save(at, [NewLine(theirs[0].id, "note", None, None, 0, raw)])
                self.note_saved(own, sha(raw), "either")
                self.saved[own][theirs[0].sha] = "either"
                self.seen.add("twin")

    def mend(self, which: int, farm: int, how: str) -> None:
        """A correction or a strike of the newest own entry."""
        handset, own, at = self.at(which, farm)
        mine = [one for one in handset.phone.book.written(at) if b'"kind":"cover"' in one.raw]
        if mine:
            entry = mine[0].entry
            done = (
                correct(handset.phone, at, entry, entry.body, "read again")
                if how == "correct"
                else strike(handset.phone, at, entry, "wrong field")
            )
            self.note_saved(own, done.sha)

    def save_photo(self, which: int, farm: int) -> None:
        handset, own, at = self.at(which, farm)
        picture = self.folder / "camera.jpg"
        picture.write_bytes(JPEG + handset.phone.chance.bytes(8))
        photo = keep_photo(handset.phone, picture)
        done = save_entry(handset.phone, at, NewEntry(body=Note(text="glass"), photos=(photo,)))
        self.note_saved(own, done.sha)

    def save_golden(self, which: int, farm: int, place: int) -> None:
        """An entry of any kind that a phone may write, as the golden documents have it."""
        handset, own, at = self.at(which, farm)
        ground = self.grounds[own]
        told = {"by": str(ground.crew.id), "field": str(ground.fields[0]), "done_by": str(ground.owner.id)}
        more, form = FORMS[place // len(GOLDENS) % len(FORMS)]
        tree = GOLDENS[place % len(GOLDENS)] | told | more | {"id": str(new_id(handset.phone))}
        raw = json.dumps(tree, **form).encode()
        handset.phone.book.save(at, [NewLine(UUID(tree["id"]), tree["kind"], ground.fields[0], None, 0, raw)])
        self.note_saved(own, sha(raw))

    def save_newcomer(self, which: int, farm: int) -> None:
        """By somebody whom the server may not know: kept, or held and then read again once it does."""
        handset, own, at = self.at(which, farm)
        new = NewEntry(body=Note(text="my first day"), by=NEWCOMERS[own])
        self.note_saved(own, save_entry(handset.phone, at, new).sha)
        self.seen.add("newcomer")

    def flood(self, which: int, farm: int) -> None:
        """More than one push may hold."""
        handset, own, at = self.at(which, farm)
        for _ in range(23):
            self.note_saved(own, note(handset.phone, at, "x" * LONG).sha)

    def save_locked(self, which: int, farm: int) -> None:
        """Something else holds the storage: nothing is shown as saved, and nothing was stored."""
        handset, own, at = self.at(which, farm)
        before = handset.shas(own)
        with handset.locked(), pytest.raises(BookLocked):
            cover(handset.phone, at)
        assert handset.shas(own) == before
