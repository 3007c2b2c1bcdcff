"""A person's name in the free text of an entry: whether it stands there, and the entry with it taken out."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass, replace
from functools import cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

from shared.words.entry import Entry
from shared.words.moment import Moment

TAKEN_OUT = "[…]"
KEYS = frozenset(("kind", "of", "sheets", "sheet", "due", "ask", "root", "sha256"))
"""Texts that name something of the program's own: no person is named in them."""


def pattern_of(names: Iterable[str]) -> re.Pattern[str]:
    """Finds any of these names as whole words, in capitals or not, however its words are spaced and its accents are
    composed. ``ValueError`` where a name has no letter: it would be found everywhere."""
    said = [name for name in names if name.strip()]
    if not said or not all(any(char.isalpha() for char in name) for name in said):
        raise ValueError(said)
    forms = {unicodedata.normalize(form, name) for name in said for form in ("NFC", "NFD")}
    longest_first = sorted(forms, key=lambda form: (-len(form), form))
    any_of = "|".join(r"\s+".join(map(re.escape, form.split())) for form in longest_first)
    return re.compile(rf"(?<!\w)(?:{any_of})(?!\w)", re.IGNORECASE)


def without(entry: Entry, names: re.Pattern[str]) -> Entry:
    """The entry with each of these names taken out of what somebody wrote in their own words; the same value where
    none stands there. Choices, figures, times and ids stay as they are."""
    changed: Entry = _value(entry, names)
    return changed


def _value(value: Any, names: re.Pattern[str]) -> Any:
    hints = _texts(value.__class__)
    changed = {}
    for one in fields(value):
        before = getattr(value, one.name)
        after = _inside(before, hints[one.name], names)
        if after is not before:
            changed[one.name] = after
    return replace(value, **changed) if changed else value


def _inside(value: Any, free: bool, names: re.Pattern[str]) -> Any:
    if type(value) is str:
        return names.sub(TAKEN_OUT, value) if free and names.search(value) else value
    if type(value) is tuple:
        after = tuple([_inside(one, free, names) for one in value])
        return after if any(new is not old for new, old in zip(after, value, strict=True)) else value
    if isinstance(value, Mapping):
        table = {key: _inside(one, free, names) for key, one in value.items()}
        return table if any(table[key] is not one for key, one in value.items()) else value
    return _value(value, names) if is_dataclass(value) and not isinstance(value, Moment) else value


@cache
def _texts(cls: Any) -> dict[str, bool]:
    """Each attribute, and whether it holds words of somebody's own."""
    hints = get_type_hints(cls, include_extras=True)
    return {one.name: one.name not in KEYS and _is_free(hints[one.name]) for one in fields(cls)}


def _is_free(hint: Any) -> bool:
    origin = get_origin(hint)
    if origin is Annotated:
        return _is_free(get_args(hint)[0])
    if origin in (UnionType, Union, tuple) or origin in (dict, Mapping):
        return any(_is_free(inner) for inner in get_args(hint))
    return hint is str
