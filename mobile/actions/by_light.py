"""Which look the light asks for: the sun's outdoors, paper under a roof, the night's in the dark."""

from __future__ import annotations

BY_LIGHT = "light"
SUN_FROM_LUX, SUN_TO_LUX = 5_000.0, 2_000.0
NIGHT_FROM_LUX, NIGHT_TO_LUX = 5.0, 20.0
"""An overcast day gives some 10,000 lux, a lit room some 300, a street at night under 10. Common practice, no source.
A look that stands is kept until the light is well past where it began: a cloud or a passing hand turns nothing."""
LOOKS_TO_TURN = 3


def look_of(lux: float, now: str) -> str:
    """The theme for this light, where ``now`` stands."""
    if lux >= (SUN_TO_LUX if now == "sun" else SUN_FROM_LUX):
        return "sun"
    return "night" if lux <= (NIGHT_TO_LUX if now == "night" else NIGHT_FROM_LUX) else "paper"


class ByLight:
    """The look as the light changes: turned once it was asked for several times running."""

    def __init__(self, theme: str = "sun") -> None:
        self.theme = theme
        self._asked, self._times = theme, 0

    def told(self, lux: float | None) -> bool:
        """Whether this turns the look."""
        if lux is None:
            return False
        asked = look_of(lux, self.theme)
        self._times = self._times + 1 if asked == self._asked else 1
        self._asked = asked
        if asked == self.theme or self._times < LOOKS_TO_TURN:
            return False
        self.theme = asked
        return True
