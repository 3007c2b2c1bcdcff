"""Sample: what was taken for a laboratory, how deep, in which bag."""

from __future__ import annotations

from typing import Any, get_args, get_type_hints

from mobile.presenters.lines import LineView, TypedView
from mobile.presenters.measures import Ask, Slot
from mobile.presenters.writes_one import WritesOne
from shared.words.bodies import Body
from shared.words.bodies.laboratory import Sample

OF = Ask("of", get_args(get_type_hints(Sample)["of"]), across=2, titled=True)

DEEP_IN = 12
"""Cores that go deeper than a plow are deep. Common practice, no source."""


class SamplePresenter(WritesOne):
    home = "more"

    def title(self) -> str:
        return self.say("more.sample")

    def lines(self) -> list[LineView]:
        return [
            self.ask(OF),
            TypedView("lab_bag", self.say("typed.lab_bag"), self.typed.get("lab_bag", "")),
            TypedView("lab", self.say("typed.lab"), self.typed.get("lab", "")),
        ]

    def slots(self) -> tuple[Slot, ...]:
        if self.answers.get("of") in ("soil", "nitrate", "nematode"):
            return (
                Slot("top_in", "in", True, False),
                Slot("bottom_in", "in", True, False),
                Slot("cores", "count", False, False),
            )
        return (Slot("grams", "g", True, False),) if self.answers.get("of") else ()

    def caution(self) -> str:
        """Deep cores meet buried lines."""
        bottom = self.values().get("bottom_in")
        return self.say("caution.dig") if bottom is not None and bottom > DEEP_IN else ""

    def missing(self) -> str:
        return (
            ""
            if self.answers.get("of")
            else self.say("round.say_first", question=self.say("ask.of.question"))
        )

    def body(self) -> Body:
        said: Any = self.answers
        values = self.values()
        cores = values.pop("cores", None)
        words: Any = {key: text.strip() for key, text in self.typed.items() if text.strip()}
        return Sample(of=said["of"], cores=None if cores is None else int(cores), **words, **values)
