"""Reckoner: each computation by its name; its inputs typed; its answer with source and caution."""

from __future__ import annotations

from typing import Any

from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView, TextView, TypedView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from shared.errors import GoodgroundError, InputError
from shared.languages import figure, has, say, shown
from shared.reckoning import RECKONER, computation
from shared.reckoning.computation import Input, as_answer


class ReckonerPresenter(Presenter):
    home = "more"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.name = ""
        self.typed: dict[str, str] = {}
        self.answer: dict[str, Any] = {}
        self.caution = ""

    def entered(self) -> None:
        self.name, self.typed, self.answer, self.caution, self.notice = "", {}, {}, "", ""

    def view(self) -> FormView:
        if not self.name:
            known = [name for name in RECKONER if has(self.session.language, f"reckoner.{name}.title")]
            rows = tuple(RowView(name, self._word(f"{name}.title")) for name in known)
            return FormView(self.say("more.reckoner"), lines=rows, back=self.say("back"), **self.turning())
        return FormView(
            title=self._word(f"{self.name}.title"),
            under=self._word(f"{self.name}.help"),
            lines=tuple(self._answers() + self._inputs()),
            notice=self.notice,
            back=self.say("back"),
            save=self.say("reckoner.reckon"),
            **self.turning(),
        )

    def _word(self, key: str) -> str:
        key = f"reckoner.{key}"
        return say(self.session.language, key) if has(self.session.language, key) else key.rsplit(".", 1)[-1]

    def _inputs(self) -> list[LineView]:
        return [self._input(one) for one in computation(self.name).inputs]

    def _input(self, one: Input) -> LineView:
        label = self._word(f"input.{one.name}").rstrip(".")
        if one.shape == "choice":
            options = tuple((choice, self._word(f"choice.{choice}")) for choice in one.choices)
            chosen = self.typed.get(one.name)
            return ChoiceView(one.name, label, options, (chosen,) if chosen else (), 2)
        key = "reckoner.optional" if one.optional else "reckoner.input"
        named = self.say(key, input=label, example=one.example) if one.example else label
        return TypedView(one.name, named, self.typed.get(one.name, ""))

    def _answers(self) -> list[LineView]:
        lines: list[LineView] = []
        units = computation(self.name).units
        for key, value in self.answer.items():
            unit = units.get(key, "")
            lines.append(
                RowView(
                    f"answer.{key}",
                    self._word(f"answer.{key}"),
                    self._shown(value, unit),
                    heavy=True,
                    plain=True,
                )
            )
        if self.answer:
            if self.caution:
                lines.append(TextView("caution", say(self.session.language, self.caution)))
            lines.append(
                TextView("source", self.say("reckoner.source", source=computation(self.name).source))
            )
        return lines

    def _shown(self, value: Any, unit: str) -> str:
        if isinstance(value, float):
            text = figure(self.session.language, value)
        elif isinstance(value, str):
            text = self._word(f"choice.{value}")
        else:
            text = shown(self.session.language, value) if value is not None else "–"
        return f"{text} {unit}".strip()

    def tap(self, key: str) -> None:
        self.name, self.typed, self.answer, self.notice = key, {}, {}, ""
        self.changed()

    def pick(self, key: str, name: str) -> None:
        self.typed[key] = name
        self.changed()

    def write(self, key: str, text: str) -> None:
        self.typed[key] = text

    def back(self) -> None:
        if self.name:
            self.entered()
            self.changed()
        else:
            super().back()

    def save(self) -> None:
        one = computation(self.name)
        given = {key: text for key, text in self.typed.items() if text.strip()}
        self.answer, self.notice, self.caution = {}, "", ""
        try:
            result = one.run(**one.read(given))
            self.answer, self.caution = as_answer(result), one.caution_for(result) or ""
        except InputError as error:
            self.notice = self._problem(error)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
        self.changed()

    def _problem(self, error: InputError) -> str:
        name = self._word(f"input.{error.name}").rstrip(".")
        return self.say("reckoner.problem", input=name, allowed=error.allowed)
