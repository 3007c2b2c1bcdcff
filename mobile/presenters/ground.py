"""Wet or frozen? What the ground is like, and whether it bears."""

from __future__ import annotations

from typing import Any

from mobile.presenters.lines import LineView
from mobile.presenters.measures import Ask, Slot
from mobile.presenters.writes_one import WritesOne
from shared.words.bodies import Body
from shared.words.bodies.walked import Ground

STATE = Ask("state", ("dry", "moist", "wet", "standing_water", "frozen", "snow"), across=3)
THREAD = Ask("thread", ("crumbles", "edge", "rolls", "smears"), across=2, titled=True)
PACKED = Ask("snow_packed", ("yes", "no"), across=2, titled=True)
AXLE, TIRE = Slot("axle_tons", "tons", True, False), Slot("tire_psi", "psi", False, False)
FROST, THAWED, SNOW = (
    Slot("frost_in", "in", True, False),
    Slot("thawed_in", "in", True, False),
    Slot("snow_in", "in", True, False),
)


class GroundPresenter(WritesOne):
    def title(self) -> str:
        return self.say("here.line.ground")

    def lines(self) -> list[LineView]:
        lines: list[LineView] = [self.ask(STATE)]
        if self.answers.get("state") in ("moist", "wet", "dry"):
            lines.append(self.ask(THREAD))
        if self.answers.get("state") == "snow":
            lines.append(self.ask(PACKED))
        return lines

    def slots(self) -> tuple[Slot, ...]:
        state = self.answers.get("state")
        if state == "frozen":
            return (FROST, THAWED, AXLE)
        if state == "snow":
            return (SNOW, FROST, AXLE)
        return (AXLE, TIRE) if state else ()

    def asked(self) -> set[str]:
        """All of it: what another state asked does not hold of this one."""
        every = (STATE, THREAD, PACKED, AXLE, TIRE, FROST, THAWED, SNOW)
        return {one.key for one in every}

    def caution(self) -> str:
        return self.once_a_day("ground") if self.answers.get("state") in ("frozen", "snow") else ""

    def missing(self) -> str:
        return (
            ""
            if self.answers.get("state")
            else self.say("round.say_first", question=self.say("ask.state.question"))
        )

    def body(self) -> Body:
        said: Any = self.answers
        packed = said.get("snow_packed")
        if self.caution():
            self.caution_read("ground")
        thread = said.get("thread") if said["state"] in ("moist", "wet", "dry") else None
        packing = None if packed is None or said["state"] != "snow" else packed == "yes"
        return Ground(state=said["state"], thread=thread, snow_packed=packing, **self.values())
