"""What was written with a tap elsewhere (a stop of a round, a due put off, a count agreed on, an answer), put right
on a page of its own: all that it says filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from mobile.presenters.answer import STOCK
from mobile.presenters.correcting import written
from mobile.presenters.entry_words import titled
from mobile.presenters.figure import Keyed
from mobile.presenters.here import PUT_OFF
from mobile.presenters.lines import ChoiceView, LineView, TypedView
from mobile.presenters.measures import MEASURES, Ask, Slot
from mobile.presenters.writes_one import WritesOne
from shared.status.fact import Fact
from shared.words.bodies import Body

OTHER = "other"
WHOLE = frozenset(("loads",))
"""Figures that are counts."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the page asks of one kind. ``words``: the keys that are typed, with their labels' keys. ``said``: where
    the words of a question's choices stand, if not under the question's own name. ``on``: it has a field of its
    own, which may have been the wrong one."""

    slots: tuple[Slot, ...] = ()
    asks: tuple[Ask, ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)
    said: str = ""
    on: bool = True


ASKED: dict[str, Asked] = {
    **{name: Asked(one.slots, (*one.once, *one.asks)) for name, one in MEASURES.items()},
    "put_off": Asked(asks=(Ask("why", PUT_OFF, across=1),), said="ask.put_off", on=False),
    "answer": Asked(
        asks=(Ask("ask", STOCK, needed=False, across=1),),
        words={"text": "answer.label"},
        said="answer.stock",
        on=False,
    ),
    "agreed_count": Asked(
        slots=(Slot("loads", "count"), Slot("yards_yd3", "yd3", True)),
        words={"with_": "agreed.with"},
        on=False,
    ),
}


class InPlacePresenter(WritesOne):
    def _fact(self) -> Fact:
        assert self.correcting is not None
        return self.correcting

    def _asked(self) -> Asked:
        return ASKED[self._fact().kind]

    def begin_correcting(self, fact: Fact) -> None:
        super().begin_correcting(fact)
        body: Any = fact.body
        for slot in ASKED[fact.kind].slots:
            self.figures[slot.key] = Keyed(slot.parts, written(getattr(body, slot.key)))
        for ask in self._asks():
            if (said := getattr(body, ask.key, None)) in ask.options:
                self.answers[ask.key] = said
        if len(classes := _classes(body)) == 1:
            self.answers["classes"] = classes[0]

    def title(self) -> str:
        return titled(self.session, self._fact())

    @property
    def moves(self) -> bool:
        return self._asked().on

    def lines(self) -> list[LineView]:
        lines: list[LineView] = [self._choice(one) for one in self._asks()]
        if OTHER in (self.answers.get("cover"), self.answers.get("why")):
            lines.append(self._typed("other_text", "entry.in_words"))
        return [*lines, *(self._typed(key, label) for key, label in self._asked().words.items())]

    def _asks(self) -> tuple[Ask, ...]:
        """A stop of which quadrats were counted plant by plant has no class to choose, one of several none alone."""
        classed = len(_classes(self._fact().body)) == 1
        return tuple(one for one in self._asked().asks if classed or one.key != "classes")

    def _in_other_words(self, ask: Ask) -> bool:
        """Whether the entry answers it by a word that is none of the choices; that word stays until one is chosen."""
        said = getattr(self._fact().body, ask.key)
        return isinstance(said, str) and said not in ask.options

    def _choice(self, ask: Ask) -> ChoiceView:
        said = self._asked().said
        words = said or f"ask.{ask.key}"
        options = tuple((one, self.say(f"{words}.{one.replace('-', '_')}")) for one in ask.options)
        chosen = self.answers.get(ask.key)
        question = "" if said else self.say(f"ask.{ask.key}.question")
        return ChoiceView(ask.key, question, options, (chosen,) if chosen else (), ask.across)

    def _typed(self, key: str, label: str) -> TypedView:
        return TypedView(key, self.say(label), self.typed.get(key, ""), tall=key == "text")

    def slots(self) -> tuple[Slot, ...]:
        return self._asked().slots

    def missing(self) -> str:
        for ask in self._asks():
            if ask.needed and not self.answers.get(ask.key):
                return self._first("entry.a_choice")
        for slot in self.slots():
            if slot.needed and slot.key not in self.values():
                return self._first(f"slot.{slot.key}")
        shown = {line.key: line.label for line in self.lines() if isinstance(line, TypedView)}
        for key, label in shown.items():
            said_otherwise = key == "text" and bool(self.answers.get("ask"))
            if not self.typed.get(key, "").strip() and not said_otherwise:
                return self.say("round.say_first", question=label)
        return ""

    def _first(self, key: str) -> str:
        return self.say("round.say_first", question=self.say(key))

    def body(self) -> Body:
        values = self.values()
        changed: dict[str, Any] = {slot.key: values.get(slot.key) for slot in self.slots()}
        changed |= {key: int(value) for key, value in changed.items() if key in WHOLE and value is not None}
        for ask in self._asks():
            said = self.answers.get(ask.key)
            if said is None and self._in_other_words(ask):
                continue
            changed[ask.key] = (said,) if ask.key == "classes" else said
        for key in self._asked().words:
            changed[key] = self.typed.get(key, "").strip() or None
        if {"cover", "why"} & changed.keys():
            is_other = OTHER in (changed.get("cover"), changed.get("why"))
            changed["other_text"] = self.typed["other_text"].strip() if is_other else None
        new: Body = replace(self._fact().body, **changed)
        return new


def _classes(body: Any) -> tuple[str, ...]:
    return getattr(body, "classes", None) or ()
