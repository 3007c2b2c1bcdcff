"""How wide a text is, asked before it is laid out."""

from __future__ import annotations

from functools import lru_cache

from kivy.core.text import Label as CoreLabel


@lru_cache(maxsize=4096)
def width(text: str, font: str, size: float) -> int:
    """The width in pixels of a text on one line."""
    core = CoreLabel(font_name=font, font_size=size)
    return max((core.get_extents(line)[0] for line in text.split("\n")), default=0)


def widest_word(text: str, font: str, size: float) -> int:
    """The width in pixels of the longest word: narrower than this a text is broken within a word."""
    return max((width(word, font, size) for word in text.split()), default=0)


def fitting(text: str, font: str, size: float, room: float, least: float) -> float:
    """The largest size, from ``size`` down to ``least``, at which no word is wider than ``room``."""
    while size > least and widest_word(text, font, size) > room:
        size = max(least, size - 1)
    return size
