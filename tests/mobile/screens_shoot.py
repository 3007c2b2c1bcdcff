"""Renders every scene of the phone into ``screens/phone/``, to be looked at.

    python -m tests.mobile.screens_shoot [--only NAME] [--size 412x915] [--scale 1.0] [--theme sun] [--language en]

Without options: both languages, three themes, 360x740 and 412x915, at 100 and 200 % text.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from itertools import product
from pathlib import Path

from tests.mobile import conftest  # noqa: F401 - settles Kivy

OUT = Path(__file__).parents[2] / "screens" / "phone"
SIZES, SCALES, THEMES, LANGUAGES = (
    ("360x740", "412x915"),
    ("1.0", "2.0"),
    ("sun", "paper", "night"),
    ("en", "es"),
)


def main() -> None:
    asked = argparse.ArgumentParser()
    for name in ("only", "size", "scale", "theme", "language"):
        asked.add_argument(f"--{name}", action="append")
    chosen = asked.parse_args()
    from tests.mobile.screens.scenes import SCENES

    scenes = [one for one in SCENES if not chosen.only or one.__name__ in chosen.only]
    for size, scale, theme, language in product(
        chosen.size or SIZES, chosen.scale or SCALES, chosen.theme or THEMES, chosen.language or LANGUAGES
    ):
        folder = OUT / f"{size}-{round(float(scale) * 100)}-{theme}-{language}"
        folder.mkdir(parents=True, exist_ok=True)
        for scene in scenes:
            shoot(scene, size, scale, theme, language, folder / f"{scene.__name__}.png")


def shoot(scene, size: str, scale: str, theme: str, language: str, file: Path) -> None:  # type: ignore[no-untyped-def]
    from kivy.core.window import Window

    from tests.mobile.stage import Stage

    width, _, height = size.partition("x")
    Window.size = (int(width), int(height))
    with tempfile.TemporaryDirectory() as folder:
        stage = Stage(Path(folder)).joined(language)
        stage.wear(theme, scale)
        with stage:
            try:
                scene(stage)
            except AssertionError as error:
                print(f"{file}: {error}", file=sys.stderr)
            stage.shot(file)


if __name__ == "__main__":
    main()
