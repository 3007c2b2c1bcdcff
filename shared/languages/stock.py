"""A stock sentence that was kept as words, said again in the reader's language.

Reasons (why a load was turned back, why an entry was struck) are tapped from a list and kept as the words that the
person read. Who reads them later may speak another language.
"""

from __future__ import annotations

from functools import cache

from shared.languages import LANGUAGES, sentences

TABLES = (
    "phone.reason",
    "phone.ask.struck_for",
    "phone.ask.corrected_for",
    "phone.ask.put_off",
    "phone.found.why",
    "phone.ask.near_houses",
)
"""Where the phone takes its stock reasons from."""


@cache
def _stock() -> dict[str, str]:
    """The key of each stock sentence, in whatever language it was said."""
    return {
        text.casefold(): key
        for language in LANGUAGES
        for key, text in sentences(language).items()
        if key.startswith(tuple(f"{table}." for table in TABLES)) and not key.endswith(".question")
    }


def said_again(language: str, text: str) -> str:
    """The stock sentence that ``text`` was, in this language; the text itself where it is no stock sentence."""
    key = _stock().get(text.strip().casefold())
    return text if key is None else sentences(language)[key]
