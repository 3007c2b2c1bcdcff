"""Parts of a long document joined into one, each page with its number among all of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pikepdf


def pages_of(document: Path) -> int:
    with pikepdf.open(document) as one:
        return len(one.pages)


def joined(parts: Sequence[Path], numbers: Path, into: Path) -> int:
    """The parts in their order as one file, the page of the same place in ``numbers`` over each; how many pages. What
    the first part says of the whole (title, colours, that it is kept for long) stands for all."""
    with pikepdf.open(parts[0]) as whole, pikepdf.open(numbers) as over:
        for part in parts[1:]:
            with pikepdf.open(part) as one:
                whole.pages.extend(one.pages)
        for page, number in zip(whole.pages, over.pages, strict=True):
            page.add_overlay(number)
        whole.save(into, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        return len(whole.pages)
