"""Hand in: what waits, what needs a hand, the clocks, the version."""

from __future__ import annotations

from datetime import datetime

from mobile.actions.carry_file import carry_file
from mobile.presenters.lines import FormView, LineView, RowView, SaidView
from mobile.presenters.presenter import Presenter
from shared.errors import GoodgroundError
from shared.languages import has, say


class HandInPresenter(Presenter):
    home = "more"

    def tick(self) -> None:
        self.changed()

    def view(self) -> FormView:
        farm = self.session.farm
        lines: list[LineView] = [
            RowView(
                "waiting",
                self.say("hand_in.waiting"),
                self.say("hand_in.entries", count=farm.waiting),
                plain=True,
            )
        ]
        lines += self._last() + self._needing() + self._clock()
        lines.append(RowView("version", self.say("hand_in.version"), self.session.phone.app, plain=True))
        lines.append(
            RowView("server", self.say("hand_in.server"), farm.link.address, plain=True, stacked=True)
        )
        return FormView(
            title=self.say("hand_in.title"),
            under=farm.farm.name,
            lines=tuple(lines),
            notice=self.notice or self.session.notice() or self._how(),
            said=self.said,
            back=self.say("back"),
            extra=self.say("hand_in.carry") if farm.waiting else "",
            save=self.say("hand_in.working") if self._is_working() else self.say("hand_in.now"),
            **self.turning(),
        )

    def _is_working(self) -> bool:
        sending = self.session.sending
        return sending is not None and sending.state.working

    def _last(self) -> list[LineView]:
        at = self.session.farm.handed_at
        told = self.say("hand_in.never") if at is None or at.utc is None else self._when(at.utc)
        return [RowView("last", self.say("hand_in.last"), told, plain=True)]

    def _when(self, utc: datetime) -> str:
        there = utc.astimezone(self.session.zone)
        return self.say("at_time", day=self.session.on(there.date()), time=there.strftime("%H:%M"))

    def _needing(self) -> list[LineView]:
        needing = self.session.phone.book.needing_hand(self.session.enrolment)
        if not needing:
            return []
        told = self.say("hand_in.needing_entries", count=len(needing))
        return [RowView("needing", self.say("hand_in.needing"), told, wrong=True)]

    def _clock(self) -> list[LineView]:
        skew_s = round(self.session.farm.skew_ms / 1000)
        key = "right" if abs(skew_s) < 2 else "ahead" if skew_s > 0 else "behind"
        return [
            RowView(
                "clock",
                self.say("hand_in.clock"),
                self.say(f"hand_in.clock_{key}", seconds=abs(skew_s)),
                plain=True,
            )
        ]

    def _how(self) -> str:
        """Why the last try did not get through; empty where it did."""
        sending = self.session.sending
        done = sending.state.passes.get(self.session.enrolment) if sending is not None else None
        if done is None or done.is_whole:
            return ""
        language = self.session.language
        code = f"hand_in_heard.{done.code}"
        return say(language, code if has(language, code) else f"hand_in_heard.{done.heard}")

    def tap(self, key: str) -> None:
        if key == "needing":
            self.session.go("wrote")

    def left(self) -> None:
        super().left()
        self.said = None

    def extra(self) -> None:
        """What waits, written to a file that can be carried to the desk."""
        try:
            written = carry_file(self.session.phone, self.session.enrolment, self.session.folder)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
        else:
            self.said = SaidView(self.say("hand_in.carried", count=written.count, file=str(written.file)))
        self.changed()

    def save(self) -> None:
        if self.session.sending is not None:
            self.session.sending.nudge(by_hand=True)
        self.changed()
