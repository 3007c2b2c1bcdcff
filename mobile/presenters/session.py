"""What every presenter stands on: the phone, who writes in which farm, the language, the way to other screens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any, Protocol
from zoneinfo import ZoneInfo

from mobile.actions.choose_farm import current_farm
from mobile.actions.choose_person import who_writes
from mobile.actions.hand_in import waiting_line
from mobile.actions.sending import Sending, SendingState
from mobile.ports import Enrolment, Phone
from mobile.trouble import NotJoined
from shared.languages import LANGUAGES, day, has, say, unit
from shared.words.moment import in_zone
from shared.words.person import Person

LANGUAGE_SETTING = "language"
CLOCK_WRONG_MS = 120_000
"""Over two minutes the phone says so (contract, W16)."""


class Away(Protocol):
    """Runs ``call`` off the screen's thread, then ``done`` with its answer or its error on the screen's."""

    def __call__(self, call: Callable[[], Any], done: Callable[[Any, Exception | None], None]) -> None: ...


@dataclass
class Session:
    """``go`` shows another screen by name; ``wear`` takes a theme and a text scale at once; ``facts`` carries what
    one screen asks of another (which entry, which due)."""

    phone: Phone
    go: Callable[[str], None]
    away: Away
    wear: Callable[[], None] = lambda: None
    sending: Sending | None = None
    locale: str = "en"
    folder: Path = Path()
    """Where pictures are taken to and carry files are written."""
    facts: dict[str, Any] = field(default_factory=dict)

    @property
    def farm(self) -> Enrolment:
        return current_farm(self.phone)

    @property
    def enrolment(self) -> int:
        return self.farm.id

    @property
    def is_joined(self) -> bool:
        try:
            return bool(self.farm)
        except NotJoined:
            return False

    @property
    def person(self) -> Person | None:
        return who_writes(self.phone, self.enrolment) if self.is_joined else None

    @property
    def language(self) -> str:
        """The person's; before anybody is chosen the one picked on the phone, or the phone's own."""
        person = self.person
        if person is not None and person.language in LANGUAGES:
            return person.language
        return self.phone.book.setting(LANGUAGE_SETTING) or self.locale

    def pick_language(self, language: str) -> None:
        self.phone.book.keep_setting(LANGUAGE_SETTING, language)

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.farm.farm.zone)

    def now(self) -> datetime:
        return self.phone.clock.now().astimezone(self.zone)

    def today(self) -> date:
        return self.now().date()

    def say(self, key: str, **facts: Any) -> str:
        return say(self.language, f"phone.{key}", **facts)

    def trouble(self, error: Exception) -> str:
        """The sentence for an error of the phone's own: what is wrong, where, what to do."""
        code = getattr(error, "code", "error")
        if has(self.language, f"trouble.{code}"):
            facts = dict(getattr(error, "facts", dict)())
            if "unit" in facts:
                facts["unit"] = unit(self.language, str(facts["unit"]))
            return say(self.language, f"trouble.{code}", **facts)
        return self.say("trouble.other", code=code)

    def on(self, day_: date) -> str:
        """*30 June*; *today*; with the year where it is not this one."""
        today = self.today()
        if day_ == today:
            return self.say("today")
        return day(self.language, day_, year=day_.year != today.year)

    def waiting(self) -> str:
        """The line at the foot: what waits, when it was last handed in, who writes."""
        farm, person = self.farm, self.person
        key, facts = waiting_line(farm)
        if farm.handed_at is not None and "time" in facts:
            facts |= {"time": self.clock(farm.handed_at.utc)}
        if farm.waiting == 0 and farm.handed_at is not None:
            key = "hand_in.none_waiting"
        told = say(self.language, key, **facts)
        return self.say("foot", told=told, person=person.name.split()[0]) if person is not None else told

    def notice(self) -> str:
        """What is wrong with the phone itself, worst first; empty where nothing is."""
        farm, state = self.farm, self.sending.state if self.sending else SendingState()
        if farm.standing != "live":
            return say(self.language, f"hand_in_standing.{farm.standing}")
        if state.trouble:
            return self.say("trouble.storage", code=state.trouble)
        if self.phone.book.is_tight():
            return say(self.language, "hand_in.tight")
        if abs(farm.skew_ms) > CLOCK_WRONG_MS:
            key = "trouble.clock_ahead" if farm.skew_ms > 0 else "trouble.clock_behind"
            return self.say(key, count=round(abs(farm.skew_ms) / 60_000))
        return ""

    def saved(self) -> None:
        """Something is on the disk: a buzz, and the outbox is nudged."""
        self.phone.haptics.buzz()
        if self.sending is not None:
            self.sending.nudge()

    def clock(self, at: datetime | None) -> str:
        """*14:02*, on the farm's clock."""
        return "" if at is None else in_zone(at, self.zone).strftime("%H:%M")

    def day_words(self) -> str:
        """Today's date in words."""
        return day(self.language, self.today())
