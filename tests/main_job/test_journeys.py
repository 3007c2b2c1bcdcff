"""Whole journeys in the real window with a real pointer: a weed round with a pause and a kill, a morning of leaf
season, and a day in Spanish with a query, a correction and a carry file. No server answers: none is needed."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from the_sky import Sky
from the_window import PhoneWindow

from mobile.actions.hand_in import hand_in
from mobile.main import PHONE_FILE
from mobile.presenters.gate_room import receive_in
from mobile.storage import PhoneBook
from shared.languages import sentences
from shared.wire.carry import LINES
from shared.wire.pull import row_tree
from shared.wire.scalars import moment, written_moment
from shared.words.verdict import Asked
from tests.mobile.farmland import PLANE, QUARRY_SIDE, TRUCKS
from tests.mobile.kit import cover
from tests.mobile.presenters.desk import Desk

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("main_job")]

IN_SPRING_PIECE = PLANE.point((80, 60))
QUERY = UUID(int=0x900)
STOPS = 10


class Morning:
    """A phone that joined, pulled the land and was given to somebody; then the app on it in its window."""

    def __init__(self, phone: PhoneWindow, folder: Path, language: str = "en") -> None:
        self.phone = phone
        self.folder = phone.folder / "phone"
        self.folder.mkdir(parents=True)
        self.desk = Desk(self.folder, language=language)
        self.enrolment = self.desk.session.enrolment

    def begins(self, *options: str) -> None:
        self.desk.phone.book.close()
        for file in self.folder.glob("phone1.sqlite*"):
            file.rename(self.folder / file.name.replace("phone1.sqlite", PHONE_FILE))
        self.phone.start(*options)

    def was_asked(self, what: str) -> UUID:
        """An entry of this phone's, with a query about it that came with the last pull: the entry's id."""
        desk = self.desk
        about = cover(desk.phone, self.enrolment, "31").entry
        assert desk.session.person is not None
        at = moment(written_moment(datetime(2026, 5, 12, 20, tzinfo=UTC)), "at")
        query = Asked(QUERY, about.id, desk.session.person.id, None, what, at)
        desk.farm.put("queries", row_tree(query))
        hand_in(desk.phone, self.enrolment)
        return about.id

    def read_words(self) -> set[str]:
        """Every text that stood on the glass."""
        lines = self.phone.report.read_text("utf-8").splitlines()
        return {word for line in lines for word in json.loads(line)["words"]}

    def carried(self) -> int:
        """How many entries the carry file holds."""
        (file,) = self.folder.glob("*.goodground")
        with zipfile.ZipFile(file) as carried:
            return len(carried.read(LINES).splitlines())

    def written(self) -> Iterator[Any]:
        """What the phone wrote, oldest first, read from its own disk."""
        book = PhoneBook(self.folder / PHONE_FILE)
        yield from (line.entry for line in reversed(book.written(self.enrolment, None, 500)))
        book.close()


def weed_stop(phone: PhoneWindow, stop: int) -> None:
    phone.thing("round.save", f"Save stop {stop}")
    phone.tap("round.classes.1-5" if stop % 2 else "round.classes.5-25")
    phone.tap("round.seed_set.none")
    phone.tap("round.save")


def test_a_weed_round_is_paused_killed_and_walked_to_its_end(phone: PhoneWindow, sky: Sky, tmp_path: Path):
    morning = Morning(phone, tmp_path)
    sky.at(*IN_SPRING_PIECE)
    morning.begins("--nmea", str(sky.pipe))
    phone.shows("Spring Piece")
    phone.tap("here.weeds")
    for stop in range(1, 5):
        weed_stop(phone, stop)
    phone.thing("round.save", "Save stop 5")
    phone.tap("round.back")
    phone.tap("here.going")
    for stop in range(5, 8):
        weed_stop(phone, stop)
    phone.thing("round.save", "Save stop 8")
    phone.tap("round.classes.1-5")

    phone.kill()
    phone.start()
    phone.tap("here.going")
    for stop in range(8, STOPS + 1):
        weed_stop(phone, stop)
    phone.shows("of 10 stops")
    phone.tap("round.save")
    phone.screen("here")
    phone.end()
    entries = list(morning.written())
    assert [(one.kind, one.stop) for one in entries] == [("weeds", stop) for stop in range(1, STOPS + 1)]
    assert len({one.round for one in entries}) == 1


def test_a_morning_of_leaf_season_takes_thirty_loads_and_turns_two_back(phone: PhoneWindow, tmp_path: Path):
    """Four trucks in turn by a thumb that knows its way: three taps a load, the last of them what was seen."""
    morning = Morning(phone, tmp_path)
    receive_in(morning.desk.session, QUARRY_SIDE)
    morning.begins()
    # By the page of all pages, where the gate is at every time of the year.
    phone.tap("here.more")
    phone.tap("more.gate")
    phone.screen("gate")
    for load in range(1, 31):
        truck = TRUCKS[load % len(TRUCKS)]
        if load in (11, 23):
            phone.tap(f"gate.truck.{truck}.back")
            phone.tap("turn_back.reason.bags")
            phone.tap("turn_back.save")
            phone.shows(f"{load:04d}")
            continue
        before = phone.pointer_events
        phone.tap(f"gate.truck.{truck}")
        phone.tap("gate.fill.100")
        phone.tap("gate.seen.clean")
        phone.shows(f"{load:04d} ")
        assert phone.pointer_events - before == 3
    phone.end()
    loads = [one.body for one in morning.written() if one.kind == "load"]
    assert [one.outcome for one in loads].count("taken") == 28
    assert [at for at, one in enumerate(loads, 1) if one.outcome == "turned_back"] == [11, 23]
    assert len({one.ticket for one in loads}) == 30


def test_a_day_in_spanish_answers_a_query_corrects_an_entry_and_is_carried(
    phone: PhoneWindow, tmp_path: Path
):
    morning = Morning(phone, tmp_path, "es")
    first = morning.was_asked("¿Del surco o del borde?")
    morning.begins("--language", "es")

    phone.tap("here.queries")
    phone.tap(f"wrote.query.{QUERY}")
    phone.shows("¿Del surco o del borde?")
    phone.type("answer.text", "Del surco.")
    phone.tap("answer.save")
    phone.screen("here")

    phone.tap("here.wrote")
    phone.tap(f"wrote.{first}")
    phone.tap("entry.save")
    phone.tap("in_place.corrected_for.misread")
    phone.tap("in_place.figures")
    for key in ("rub", "rub", "3", "4"):
        phone.tap(f"pad.{key}")
    phone.tap("in_place.save")
    phone.thing("entry.back")
    phone.tap("entry.back")
    phone.tap("wrote.back")
    phone.tap("here.more")
    phone.tap("more.hand_in")
    phone.tap("hand_in.extra")
    phone.shows("2 anotaciones están en el archivo")
    phone.end()
    kinds = [one.kind for one in morning.written()]
    assert kinds == ["cover", "answer", "correction"]
    assert morning.carried() == 2, "the first was handed in before"
    assert morning.read_words() & ENGLISH_ALONE == set()


ENGLISH_ALONE = {
    text for key, text in sentences("en").items() if "{" not in text and sentences("es")[key] != text
} - set(sentences("es").values())
