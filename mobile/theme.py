"""What the screens wear: three themes, the sizes of text and targets, the two typefaces. No Kivy in here."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

FONTS = Path(__file__).parent / "fonts"
SANS = str(FONTS / "IBMPlexSans-Medium.ttf")
SANS_BOLD = str(FONTS / "IBMPlexSans-Bold.ttf")
SERIF = str(FONTS / "SourceSerif4-Bold.ttf")

TARGET_DP = 88
"""14 mm: the least height and width of what is tapped, so that a wet glove finds it."""
APART_DP = 19
"""3 mm: between targets that no rule divides."""
TEXT_SP = 18
LABEL_SP = 22
TITLE_SP = 26
FIGURE_SP = 32
BIG_FIGURE_SP = 60
LARGE_FROM = 1.3
"""Above this text scale every screen takes its layout for large text."""
SCALES = (1.0, 1.15, 1.3, 1.5, 1.75, 2.0)
LEAST_CONTRAST = 7.0


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours as hex. ``ghost`` is for what is past or struck, ``wrong`` only for what is wrong;
    ``wrong_on_ink`` the same on the dark block. ``rule_dp`` is the width of a rule."""

    name: str
    paper: str
    ink: str
    ghost: str
    wrong: str
    ghost_on_ink: str
    wrong_on_ink: str
    rule_dp: float


THEMES = {
    theme.name: theme
    for theme in (
        Theme("paper", "#F7F1E3", "#1C1A16", "#4B443A", "#8A1408", "#D2C9B6", "#FFB0A5", 1.5),
        Theme("sun", "#FFFFFF", "#000000", "#3D3D3D", "#8F1208", "#D6D6D6", "#FFB0A5", 2.0),
        Theme("night", "#12100D", "#F0E7D4", "#BDB4A2", "#FF9F92", "#3B342A", "#7D1007", 2.0),
    )
}


def rgb(hexed: str) -> tuple[float, float, float, float]:
    """A hex colour as Kivy takes it."""
    red, green, blue = (int(hexed[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue, 1.0


def luminance(colour: tuple[float, ...]) -> float:
    """Relative luminance (WCAG 2.2)."""
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour[:3]
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    """The contrast ratio of two colours, 1 to 21 (WCAG 2.2)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)
