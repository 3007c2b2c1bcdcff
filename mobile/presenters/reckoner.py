"""Reckoner: each computation by its name; its inputs typed, in the units that are chosen; its answer with source and
caution.
"""

from __future__ import annotations

from uuid import UUID

from mobile.actions.field_now import field_now, ground_held
from mobile.actions.room_left import room_left
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView, TextView, TypedView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from shared.languages import has, say
from shared.reckoning.in_words import Asked, Reckoned, Sheet, asks_of_fields, filled, reckoned, switched
from shared.reckoning.table import RECKONER, computation
from shared.status.known import known_of_field

UNITS_SETTING = "units"


class ReckonerPresenter(Presenter):
    home = "more"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.name = ""
        self.typed: dict[str, str] = {}
        self.tried = False

    def entered(self) -> None:
        self.name, self.typed, self.tried = "", {}, False

    @property
    def sheet(self) -> Sheet:
        """In the units chosen on this phone; in the farm's until somebody chose."""
        chosen = self.session.phone.book.setting(UNITS_SETTING)
        if chosen is None and self.session.is_joined:
            chosen = self.session.farm.farm.units
        return Sheet(self.session.language, chosen == "metric")

    def view(self) -> FormView:
        return self._form() if self.name else self._index()

    def _index(self) -> FormView:
        known = [name for name in RECKONER if has(self.session.language, f"reckoner.{name}.title")]
        return FormView(
            self.say("more.reckoner"),
            lines=tuple(RowView(name, self._word(f"{name}.title")) for name in known),
            back=self.say("back"),
            extra=self._other_units(),
            **self.turning(),
        )

    def _form(self) -> FormView:
        made = reckoned(computation(self.name), self.typed if self.tried else {}, self.sheet, self.tried)
        return FormView(
            title=self._word(f"{self.name}.title"),
            under=self._word(f"{self.name}.help"),
            lines=(*self._answers(made), *(self._input(one) for one in made.asked)),
            notice=made.wrong or next((one.wrong for one in made.asked if one.wrong), ""),
            back=self.say("back"),
            extra=self._other_units(),
            save=self.say("reckoner.reckon"),
            **self.turning(),
        )

    def _word(self, key: str) -> str:
        return say(self.session.language, f"reckoner.{key}")

    def _other_units(self) -> str:
        """The word of the key that turns the units over: those that are not shown now."""
        return self.say("reckoner_units.us" if self.sheet.in_metric else "reckoner_units.metric")

    def _input(self, one: Asked) -> LineView:
        typed = self.typed.get(one.name, "")
        label = self.say("reckoner_units.of", input=one.label, unit=one.unit) if one.unit else one.label
        if one.choices:
            return ChoiceView(one.name, label, one.choices, (typed,) if typed else (), 2)
        key = "reckoner.optional" if one.optional else "reckoner.input"
        named = self.say(key, input=label, example=one.example) if one.example else label
        return TypedView(one.name, named, typed)

    def _answers(self, made: Reckoned) -> list[LineView]:
        lines: list[LineView] = [
            RowView(f"answer.{at}", label, told, heavy=True, plain=True)
            for at, (label, told) in enumerate(made.answers)
        ]
        if lines:
            if made.caution:
                lines.append(TextView("caution", made.caution))
            source = computation(self.name).source
            lines.append(TextView("source", self.say("reckoner.source", source=source)))
        return lines

    def tap(self, key: str) -> None:
        self.name, self.typed, self.tried = key, self._known(key), False
        self.changed()

    def _known(self, name: str) -> dict[str, str]:
        """What this phone knows of the field that the person stands in, for the inputs that ask for it."""
        field: UUID | None = self.session.facts.get("field")
        one, session = computation(name), self.session
        if field is None or not session.is_joined or not asks_of_fields(one):
            return {}
        ground = ground_held(session.phone, session.enrolment, field)
        left = room_left(session.phone, session.enrolment, field, session.today(), None, None)
        if ground is None or left is None:
            return {}
        stands = field_now(session.phone, session.enrolment, field)
        return filled(one, known_of_field(stands, left, ground.spreadable_ac, None), self.sheet)

    def pick(self, key: str, name: str) -> None:
        self.typed[key] = name
        self.changed()

    def write(self, key: str, text: str) -> None:
        self.typed[key] = text

    def extra(self) -> None:
        """The other units; what was typed is turned with them, so that it stays the same amount."""
        to = Sheet(self.session.language, not self.sheet.in_metric)
        self.session.phone.book.keep_setting(UNITS_SETTING, "metric" if to.in_metric else "us")
        if self.name:
            self.typed = switched(computation(self.name), self.typed, to)
        self.changed()

    def back(self) -> None:
        if self.name:
            self.entered()
            self.changed()
        else:
            super().back()

    def save(self) -> None:
        self.tried = True
        self.changed()
