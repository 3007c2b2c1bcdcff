"""`docs/made.py`: what is made from the code is as the code has it now."""

from __future__ import annotations

import subprocess
import sys

from tests.docs.reading import ROOT


def test_no_page_that_is_made_from_the_code_is_stale() -> None:
    ran = subprocess.run(
        [sys.executable, "docs/made.py", "--check"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "", ""), "run make docs"
