"""What every widget wears at the moment. The app changes it and builds its screens anew."""

from __future__ import annotations

from kivy.metrics import dp

from mobile import theme as worn
from mobile.theme import THEMES, rgb


class Look:
    """Colours as Kivy takes them and lengths in pixels. ``scale`` is the person's text size, 1 to 2."""

    sans = worn.SANS
    bold = worn.SANS_BOLD
    serif = worn.SERIF

    def __init__(self) -> None:
        self.wear("sun", 1.0)

    def wear(self, theme: str, scale: float) -> None:
        chosen = THEMES[theme]
        self.theme = theme
        self.scale = scale
        self.paper = rgb(chosen.paper)
        self.ink = rgb(chosen.ink)
        self.ghost = rgb(chosen.ghost)
        self.wrong = rgb(chosen.wrong)
        self.ghost_on_ink = rgb(chosen.ghost_on_ink)
        self.wrong_on_ink = rgb(chosen.wrong_on_ink)
        self.rule_dp = chosen.rule_dp

    @property
    def large(self) -> bool:
        return self.scale > worn.LARGE_FROM

    @property
    def rule(self) -> float:
        return dp(self.rule_dp)

    @property
    def target(self) -> float:
        return dp(worn.TARGET_DP)

    @property
    def apart(self) -> float:
        return dp(worn.APART_DP)

    @property
    def margin(self) -> float:
        return dp(16 if not self.large else 12)

    def sp(self, size: float) -> float:
        """A text size in pixels at the person's scale."""
        return dp(size) * self.scale

    def title_sp(self, size: float) -> float:
        """A title grows less than what it stands over: at 200 % it is half as large again."""
        return dp(size) * (1 + (self.scale - 1) * 0.5)

    @property
    def text(self) -> float:
        return self.sp(worn.TEXT_SP)

    @property
    def label(self) -> float:
        return self.sp(worn.LABEL_SP) if not self.large else self.sp(worn.TEXT_SP + 2)

    @property
    def title(self) -> float:
        return self.title_sp(worn.TITLE_SP)

    @property
    def figure(self) -> float:
        return self.title_sp(worn.FIGURE_SP)

    @property
    def big_figure(self) -> float:
        return self.title_sp(worn.BIG_FIGURE_SP)


look = Look()
