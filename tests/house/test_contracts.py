"""The directions of imports, and what the house holds at its top."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TOP = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "Makefile",
    "pyproject.toml",
    "shared",
    "mobile",
    "server",
    "tests",
    "demo_fixtures",
    "docs",
}


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, text=True)


def tracked() -> list[str]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    return listed.stdout.splitlines()


def test_every_import_goes_downwards():
    told = run("-c", "from importlinter.cli import lint_imports_command; lint_imports_command()")
    assert told.returncode == 0, told.stdout + told.stderr
    assert "0 broken" in told.stdout


def test_the_top_of_the_tree_holds_what_the_map_says_and_nothing_else():
    top = {name.split("/")[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} == TOP


def test_the_core_is_annotated_throughout():
    told = run("-m", "mypy", "--cache-dir", ".mypy_cache")
    assert told.returncode == 0, told.stdout


def test_the_sources_keep_to_the_house_style():
    checked = run("-m", "ruff", "check", ".")
    assert checked.returncode == 0, checked.stdout
    formatted = run("-m", "ruff", "format", "--check", ".")
    assert formatted.returncode == 0, formatted.stdout


def test_no_test_folder_hides_a_package():
    assert [name for name in tracked() if name.startswith("tests/") and name.endswith("__init__.py")] == []


def test_requirements_are_pinned_and_name_no_index():
    for place in ("mobile", "server", "tests"):
        for line in (ROOT / place / "requirements.txt").read_text().splitlines():
            if line and not line.startswith(("#", "-r ")):
                assert "==" in line, f"{place}: {line}"
                assert "://" not in line
    assert not [name for name in tracked() if name.endswith(".lock")]
