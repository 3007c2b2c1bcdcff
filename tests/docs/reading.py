"""What is written: the pages of the project, their links, and the commands that they show."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LINK = re.compile(r"!?\[[^\]]*\]\(([^)\s]+)\)")
FENCE = re.compile(r"^[ ]*```(\w*)\n(.*?)^[ ]*```", re.M | re.S)
INLINE = re.compile(r"`([^`\n]+)`")
INDENTED = re.compile(r"^    (\S.*)$", re.M)


@dataclass(frozen=True, slots=True)
class Written:
    """A page, by its path from the root."""

    path: Path

    @property
    def name(self) -> str:
        return str(self.path.relative_to(ROOT))

    @property
    def text(self) -> str:
        return self.path.read_text("utf-8")

    @property
    def links(self) -> list[str]:
        return LINK.findall(FENCE.sub("", self.text))

    @property
    def headings(self) -> set[str]:
        """The anchors of its headings, as a reader of Markdown makes them."""
        lines = re.findall(r"^#+ (.+)$", FENCE.sub("", self.text), re.M)
        return {re.sub(r"[^\w\- ]", "", line.lower()).strip().replace(" ", "-") for line in lines}

    @property
    def console(self) -> list[str]:
        """The commands in blocks marked as a console's, a line each."""
        blocks = [body for kind, body in FENCE.findall(self.text) if kind == "console"]
        return [line.strip() for body in blocks for line in body.splitlines() if line.strip()]

    @property
    def code(self) -> str:
        """All that is set as code: blocks, indented lines, words between backticks."""
        blocks = [body for _, body in FENCE.findall(self.text)]
        rest = FENCE.sub("", self.text)
        return "\n".join([*blocks, *INDENTED.findall(rest), *INLINE.findall(rest)])


def pages() -> list[Written]:
    """Every page that is the project's own: at the top, in docs/, and beside the code."""
    found = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md"), *(ROOT / "demo_fixtures").glob("*.md")]
    return [Written(path) for path in sorted(found)]


def modules(text: str) -> Iterator[str]:
    """What ``python -m`` is told to run."""
    yield from re.findall(r"python3? -m ([\w.]+)", text)


def targets(text: str) -> Iterator[str]:
    """What ``make`` is told to make."""
    for words in re.findall(r"(?<![\w-])make((?: [a-z.][a-z-]*)+)", text):
        yield from words.split()
