"""A crop in the reader's language."""

from __future__ import annotations

import re

from shared.languages import has, say

NOT_LETTERS = re.compile(r"[^a-z]+")


def crop_word(language: str, crop: str) -> str:
    """The word for a crop of the list, however it was typed (*Sweet corn*, *sweet_corn*); any other crop is the
    farm's own word and stays as it was typed."""
    key = f"crops.{NOT_LETTERS.sub('_', crop.lower()).strip('_')}"
    return say(language, key) if has(language, key) else crop.replace("_", " ")
