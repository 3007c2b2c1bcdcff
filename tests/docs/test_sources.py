"""The page of sources says what the code says."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

import pytest

from shared.units import Figure, Source

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs/reference/sources.md"


@pytest.fixture(scope="module")
def sources():
    spec = importlib.util.spec_from_file_location("docs_sources", ROOT / "docs/sources.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_is_as_the_code_has_it_now(sources):
    assert PAGE.read_text("utf-8") == sources.page(), "run make docs"


def test_the_page_of_the_reckoner_is_as_the_code_has_it_now():
    spec = importlib.util.spec_from_file_location("docs_reckoner", ROOT / "docs/reckoner.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert (ROOT / "docs/reference/reckoner.md").read_text("utf-8") == module.page(), "run make docs"


def test_make_docs_tells_whether_the_page_is_stale():
    ran = subprocess.run(
        [sys.executable, "docs/made.py", "--check"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert "sources.md" not in ran.stdout
    assert ran.stderr == ""


def test_every_figure_has_a_unit_and_a_source_with_a_title(sources):
    by_source, everything = sources.everything()
    assert len(everything) > 60
    for source, held in by_source.items():
        assert source.key
        assert len(source.title) > 5
        assert source.standing in sources.STANDING
        for _, label, figure in held:
            assert figure.unit, label


def test_a_key_stands_for_one_source_only(sources):
    titles = defaultdict(set)
    for source in sources.everything()[1]:
        titles[source.key].add((source.title, source.standing))
    assert {key: told for key, told in titles.items() if len(told) > 1} == {}


def test_figures_inside_tables_and_values_are_found_too(sources):
    one = Figure(3.5, "in", Source("k", "title", None, "practice"))
    told = list(sources.found("T", {"a": (one, [one])}))
    assert told == [("T, a, 1", one), ("T, a, 2, 1", one)]
