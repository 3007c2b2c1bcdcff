"""`make screens`: a picture of every screen of the phone and of every page, into screens/, to be looked at.

Each in a process of its own: Kivy and the browser's driver each want to own the loop.
"""

from __future__ import annotations

import subprocess
import sys

SHOOTS = ("tests.mobile.screens_shoot", "tests.server.web.pages_shoot")


def main() -> int:
    ended = [subprocess.run([sys.executable, "-m", name], check=False).returncode for name in SHOOTS]
    return max(ended)


if __name__ == "__main__":
    sys.exit(main())
