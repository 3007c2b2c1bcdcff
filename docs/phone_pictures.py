"""The phone's screens in docs/pictures that no walk through the demo comes by: on the small invented farm of the tests,
drawn without a display.

    python docs/phone_pictures.py [--only NAME]
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT)]

from PIL import Image  # noqa: E402

from tests.mobile import conftest  # noqa: E402, F401 - settles Kivy
from tests.mobile.screens import scenes  # noqa: E402
from tests.mobile.screens_shoot import shoot  # noqa: E402

INTO = ROOT / "docs/pictures"
SIZE = "412x915"
COLOURS = 32
PICTURES = {
    "phone-once": (scenes.once_frost, "1.0", "sun", "en"),
    "phone-saved": (scenes.saved, "1.0", "sun", "en"),
    "phone-plan": (scenes.plan, "1.0", "paper", "en"),
    "phone-in-a-buffer": (scenes.stop_in_buffer, "1.0", "sun", "es"),
    "phone-closer": (scenes.closer, "1.0", "sun", "en"),
    "phone-ticket": (scenes.ticket, "1.0", "paper", "en"),
    "phone-ground": (scenes.ground, "1.0", "sun", "es"),
    "phone-work": (scenes.work_spread, "1.0", "paper", "en"),
    "phone-large-night": (scenes.stop_keyed, "2.0", "night", "es"),
    "phone-weeds": (scenes.weeds, "1.0", "sun", "en"),
    "phone-walked": (scenes.walked, "1.0", "sun", "en"),
    "phone-turned-back": (scenes.turned_back, "1.0", "sun", "en"),
    "phone-map": (scenes.map_of_farm, "1.0", "paper", "en"),
    "phone-wrote": (scenes.wrote, "1.0", "sun", "en"),
    "phone-correct": (scenes.entry_correct, "1.0", "sun", "es"),
    "phone-hand-in": (scenes.hand_in, "1.0", "sun", "en"),
    "phone-next-jobs": (scenes.next_jobs, "1.0", "sun", "en"),
    "phone-reckoner": (scenes.reckoner_answer, "1.0", "paper", "en"),
    "phone-note-pile": (scenes.note_pile, "1.0", "sun", "es"),
    "phone-off-the-farm": (scenes.here_off_farm, "1.0", "sun", "en"),
    "phone-disk-full": (scenes.stop_disk_full, "1.0", "sun", "en"),
}
"""By file: the scene, the size of the text, the theme, the language."""


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--only", action="append")
    only = asked.parse_args().only
    for name, (scene, scale, theme, language) in PICTURES.items():
        if only and name not in only:
            continue
        with tempfile.TemporaryDirectory() as folder:
            shot = Path(folder) / "shot.png"
            shoot(scene, SIZE, scale, theme, language, shot)
            small = Image.open(shot).convert("RGB").quantize(COLOURS)
            small.save(INTO / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
