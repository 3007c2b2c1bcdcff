"""What every presenter shares."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from mobile.presenters.lines import SaidView
from mobile.presenters.session import Session


class Presenter:
    """``changed`` is the screen's: called when there is something new to show."""

    home = "here"

    def __init__(self, session: Session) -> None:
        self.session = session
        self.changed: Callable[[], None] = lambda: None
        self.notice = ""
        self.said: SaidView | None = None

    def view(self) -> Any:
        raise NotImplementedError

    def entered(self) -> None:
        """The screen comes up."""

    def left(self) -> None:
        """The screen goes."""
        self.notice = ""

    def tick(self) -> None:
        """Once a second while the screen is up."""

    def say(self, key: str, **facts: Any) -> str:
        return self.session.say(key, **facts)

    def back(self) -> None:
        self.session.go(self.home)

    def extra(self) -> None:
        """The second key of the foot. Most pages have none."""

    def save(self) -> None:
        """The heavy key of the foot. Some pages have none."""

    def undo(self) -> None:
        """Only what was just said can be undone."""

    def tap(self, key: str) -> None:
        """A line was tapped."""

    def pick(self, key: str, name: str) -> None:
        """A choice was tapped."""

    def write(self, key: str, text: str) -> None:
        """Something was typed. The screen has it already, nothing is shown anew."""

    def key(self, key: str) -> None:
        """A key of the pad."""

    def pick_slot(self, key: str) -> None:
        """Another figure takes the pad's keys."""

    def turning(self) -> dict[str, str]:
        """The words of the key that reads on."""
        return {"further": self.say("further"), "back_up": self.say("back_up")}
