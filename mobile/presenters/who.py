"""Who writes: four digits, a name tag and not a lock; or a name where nobody has digits yet."""

from __future__ import annotations

from uuid import UUID

from mobile.actions.choose_person import choose_person, people, whose_digits
from mobile.presenters.lines import FormView, LineView, RowView, SlotView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session

DIGITS = 4


class WhoPresenter(Presenter):
    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.digits = ""
        self.several: tuple[UUID, ...] = ()

    def entered(self) -> None:
        self.digits, self.several, self.notice = "", (), ""

    def view(self) -> FormView:
        everybody = people(self.session.phone, self.session.enrolment)
        named = [one for one in everybody if not self.several or one.id in self.several]
        undigited = [one for one in everybody if one.digits is None]
        by_name = bool(self.several) or len(undigited) == len(everybody)
        lines: list[LineView] = []
        if by_name:
            lines = [RowView(str(one.id), one.name, self.say(f"role.{one.role}")) for one in named]
        slot = SlotView("digits", self.say("who.digits"), self.digits, "")
        return FormView(
            title=self.say("who.title"),
            under=self.session.farm.farm.name if by_name else self.say("who.tag"),
            lines=tuple(lines),
            notice=self.notice,
            slots=() if by_name else (slot,),
            rub_out=self.say("rub_out"),
            back=self.say("back") if self.session.person is not None else "",
            **self.turning(),
        )

    def key(self, key: str) -> None:
        self.notice = ""
        if key == "rub":
            self.digits = self.digits[:-1]
        elif len(self.digits) < DIGITS and key.isdigit():
            self.digits += key
        if len(self.digits) == DIGITS:
            self._look_up()
        self.changed()

    def _look_up(self) -> None:
        found = whose_digits(self.session.phone, self.session.enrolment, self.digits)
        self.digits = ""
        if not found:
            self.notice = self.say("who.nobody")
        elif len(found) == 1:
            self._choose(found[0].id)
        else:
            self.several = tuple(one.id for one in found)

    def tap(self, key: str) -> None:
        self._choose(UUID(key))

    def _choose(self, person: UUID) -> None:
        choose_person(self.session.phone, self.session.enrolment, person)
        self.session.wear()
        self.session.go("here")
