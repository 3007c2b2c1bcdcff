"""A figure as it is keyed in: digits, at most one decimal mark, and rubbing out."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from shared.languages import DECIMAL_MARK

LONGEST = 6


@dataclass
class Keyed:
    """``text`` is kept with a point; ``shown`` writes the language's mark. ``parts``: may have decimals."""

    parts: bool = False
    text: str = ""

    def key(self, key: str) -> None:
        if key == "rub":
            self.text = self.text[:-1]
        elif key == "mark":
            if self.parts and "." not in self.text and len(self.text) < LONGEST:
                self.text = (self.text or "0") + "."
        elif len(self.text) < LONGEST and not ("." in self.text and len(self.text.split(".")[1]) >= 2):
            self.text = key if self.text == "0" else self.text + key

    @property
    def value(self) -> Decimal | None:
        text = self.text.rstrip(".")
        return Decimal(text) if text else None

    def shown(self, language: str) -> str:
        return self.text.replace(".", DECIMAL_MARK[language])
