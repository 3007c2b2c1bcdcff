"""First run: join the farm with the slip's code and the server's address."""

from __future__ import annotations

from mobile.actions.join import join, read_slip
from mobile.presenters.lines import ChoiceView, FormView, LineView, SaidView, TextView, TypedView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.trouble import BadSlip, JoinRefused
from shared.languages import LANGUAGES, has, say


class FirstRunPresenter(Presenter):
    def __init__(self, session: Session, address: str = "") -> None:
        super().__init__(session)
        self.code = ""
        self.address = address
        self.is_asking = False

    def entered(self) -> None:
        """A link that the phone's camera read stands as the address, for somebody to look at before they join."""
        link = self.session.facts.pop("link", None)
        if link is None:
            return
        self.code, self.address, self.notice = "", link, ""
        try:
            slip = read_slip("", link)
        except BadSlip as error:
            self.notice = self._why(error.why)
        else:
            self.said = SaidView(self.say("first_run.read", address=slip.address))

    def view(self) -> FormView:
        lines: list[LineView] = [TextView("what", self.say("first_run.what"))]
        lines += [
            TypedView("code", self.say("first_run.code"), self.code),
            TypedView("address", self.say("first_run.address"), self.address),
            ChoiceView(
                "language",
                "",
                tuple((one, self.say(f"language.{one}")) for one in LANGUAGES),
                (self.session.language,),
                2,
            ),
        ]
        return FormView(
            title=self.say("first_run.title"),
            lines=tuple(lines),
            notice=self.notice,
            said=None if self.notice else self.said,
            save=self.say("first_run.asking" if self.is_asking else "first_run.join"),
            back=self.say("back") if self.session.is_joined else "",
            **self.turning(),
        )

    def write(self, key: str, text: str) -> None:
        if key == "code":
            self.code = text
        else:
            self.address = text

    def pick(self, key: str, name: str) -> None:
        self.session.pick_language(name)
        self.session.wear()
        self.changed()

    def save(self) -> None:
        if self.is_asking:
            return
        try:
            slip = read_slip(self.code, self.address)
        except BadSlip as error:
            self.notice = self._why(error.why)
            self.changed()
            return
        self.is_asking, self.notice = True, ""
        self.changed()
        self.session.away(lambda: join(self.session.phone, slip), self._answered)

    def _answered(self, _: object, error: Exception | None) -> None:
        self.is_asking = False
        if error is None:
            self.code = ""
            if self.session.sending is not None:
                self.session.sending.nudge()
            self.session.go("who")
            return
        self.notice = self._why(error.why) if isinstance(error, JoinRefused) else self.session.trouble(error)
        self.changed()

    def _why(self, why: str) -> str:
        language = self.session.language
        for key in (f"slip.{why}", f"join.{why}"):
            if has(language, key):
                return say(language, key)
        return say(language, "join.other")
