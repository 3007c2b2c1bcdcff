"""The rule sheets that come with the program, as text. The only place in the rules that opens package
data."""

from __future__ import annotations

from functools import cache
from importlib import resources

KEYS_FILE = "keys.toml"


@cache
def text(filename: str) -> str:
    """The text of one file of this folder. Raises ``FileNotFoundError`` where there is none."""
    return resources.files(__name__).joinpath(filename).read_text(encoding="utf-8")


@cache
def filenames() -> tuple[str, ...]:
    """The files of the sheets that come with the program, sorted by name."""
    here = resources.files(__name__)
    return tuple(
        sorted(one.name for one in here.iterdir() if one.name.endswith(".toml") and one.name != KEYS_FILE)
    )
