"""More: hand in, the map, the reckoner, who writes, how the screen looks."""

from __future__ import annotations

from mobile.actions.by_light import BY_LIGHT
from mobile.ports import Phone
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView
from mobile.presenters.presenter import Presenter
from mobile.theme import SCALES, THEMES

THEME_SETTING = "theme"
SCALE_SETTING = "scale"
PAGES = ("next_jobs", "hand_in", "gate", "map", "sample", "reckoner", "who", "looks", "first_run")


def theme_chosen(phone: Phone) -> str:
    """The theme that somebody chose; by the light where nobody did and the phone can tell; else the sun's."""
    otherwise = "sun" if phone.senses.light.lux() is None else BY_LIGHT
    return phone.book.setting(THEME_SETTING) or otherwise


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
        theme = theme_chosen(self.session.phone)
        scale = self.session.phone.book.setting(SCALE_SETTING) or "1.0"
        measured = (BY_LIGHT,) if self.session.phone.senses.light.lux() is not None else ()
        lines: list[LineView] = [
            ChoiceView(
                "theme",
                self.say("looks.theme"),
                tuple((one, self.say(f"theme.{one}")) for one in (*THEMES, *measured)),
                (theme,),
                2 if measured else 3,
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
