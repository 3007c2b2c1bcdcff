"""More: hand in, the map, the reckoner, who writes, how the screen looks."""

from __future__ import annotations

from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView
from mobile.presenters.presenter import Presenter
from mobile.theme import SCALES, THEMES

THEME_SETTING = "theme"
SCALE_SETTING = "scale"
PAGES = ("next_jobs", "hand_in", "gate", "map", "sample", "reckoner", "who", "looks", "first_run")


class MorePresenter(Presenter):
    def view(self) -> FormView:
        person = self.session.person
        told = {
            "hand_in": self.say("hand_in.entries", count=self.session.farm.waiting),
            "who": person.name if person is not None else "",
        }
        return FormView(
            title=self.say("more.title"),
            under=self.session.farm.farm.name,
            lines=tuple(RowView(key, self.say(f"more.{key}"), told.get(key, "")) for key in PAGES),
            back=self.say("back"),
            tight=True,
            **self.turning(),
        )

    def tap(self, key: str) -> None:
        self.session.go(key)


class LooksPresenter(Presenter):
    """Theme and text size, at once."""

    home = "more"

    def view(self) -> FormView:
        book = self.session.phone.book
        theme, scale = book.setting(THEME_SETTING) or "sun", book.setting(SCALE_SETTING) or "1.0"
        lines: list[LineView] = [
            ChoiceView(
                "theme",
                self.say("looks.theme"),
                tuple((one, self.say(f"theme.{one}")) for one in THEMES),
                (theme,),
            ),
            ChoiceView(
                "scale",
                self.say("looks.scale"),
                tuple((str(one), f"{one * 100:.0f} %") for one in SCALES),
                (scale,),
            ),
        ]
        return FormView(
            title=self.say("looks.title"), lines=tuple(lines), back=self.say("back"), **self.turning()
        )

    def pick(self, key: str, name: str) -> None:
        self.session.phone.book.keep_setting(THEME_SETTING if key == "theme" else SCALE_SETTING, name)
        self.session.wear()
