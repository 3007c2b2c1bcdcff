"""What the pages say is there, is there."""

from __future__ import annotations

import importlib.util
import io
import re
import shlex
import struct
from pathlib import Path

import pytest

from tests.docs.reading import ROOT, Written, modules, pages, targets

PAGES = pages()
MAKEFILE = (ROOT / "Makefile").read_text("utf-8")
MOST_PICTURE_BYTES = 300_000
FORBIDDEN = (
    *(r"/work/", r"/tmp/", r"/root/", r"/home/[a-z]"),
    *(r"pypi\.org", r"files\.pythonhosted", r"index-url"),
    *(r"\bTODO\b", r"\bcoming soon\b", r"\bnot implemented\b"),
)


def of(name: str) -> Written:
    return Written(ROOT / name)


@pytest.mark.parametrize("page", PAGES, ids=lambda one: one.name)
def test_every_link_within_the_project_leads_somewhere(page: Written) -> None:
    lost = []
    for link in page.links:
        file, _, anchor = link.partition("#")
        there = (page.path.parent / file).resolve() if file else page.path
        outside = re.match(r"[a-z]+:", link) is not None
        if not outside and (not there.exists() or (anchor and anchor not in Written(there).headings)):
            lost.append(link)
    assert lost == []


def test_every_page_of_the_docs_stands_in_their_index() -> None:
    index = of("docs/README.md")
    linked = {(index.path.parent / link.partition("#")[0]).resolve() for link in index.links}
    whole = {one for one in linked if one.is_dir()}
    pages_there = {path for path in (ROOT / "docs").rglob("*.md") if path != index.path}
    assert {path for path in pages_there if path not in linked and path.parent not in whole} == set()


@pytest.mark.parametrize("page", PAGES, ids=lambda one: one.name)
def test_no_page_names_a_machine_a_registry_or_what_is_not_there_yet(page: Written) -> None:
    assert [one for one in FORBIDDEN if re.search(one, page.text)] == []


def runs(name: str) -> bool:
    """Whether ``python -m name`` finds something to run."""
    try:
        found = importlib.util.find_spec(name)
    except ModuleNotFoundError:
        return False
    if found is None:
        return False
    return found.submodule_search_locations is None or runs(f"{name}.__main__")


def test_every_module_that_a_page_or_the_makefile_runs_is_there() -> None:
    told = {name: page.name for page in PAGES for name in modules(page.code)}
    told |= dict.fromkeys(re.findall(r"\$\(PY\) -m ([\w.]+)", MAKEFILE), "Makefile")
    assert {"server", "shared.proof", "shared.reckoning", "mobile.main", "demo_fixtures"} <= told.keys()
    assert {name: where for name, where in told.items() if not runs(name)} == {}


def test_every_script_that_the_makefile_calls_is_there() -> None:
    called = re.findall(r"(?:bash|python3|\$\(PY\)) ([\w./]+\.(?:sh|py))", MAKEFILE)
    assert "mobile/stage_android.sh" in called
    assert [one for one in called if not (ROOT / one).exists()] == []


def test_every_target_of_make_that_a_page_names_is_there() -> None:
    there = set(re.findall(r"^([a-z.][a-z.-]*):", MAKEFILE, re.M))
    named = {(page.name, one) for page in PAGES for one in targets(page.code)}
    assert ("README.md", "demo") in named
    assert {(where, one) for where, one in named if one not in there} == set()


@pytest.mark.parametrize("file", sorted((ROOT / "docs/pictures").iterdir()), ids=lambda one: one.name)
def test_a_picture_is_a_small_png_that_a_page_shows(file: Path) -> None:
    head = file.read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", head[16:24])
    assert width >= 360
    assert height >= 700
    assert file.stat().st_size < MOST_PICTURE_BYTES
    shown = {(page.path.parent / link).resolve() for page in PAGES for link in page.links}
    assert file in shown


def test_the_endpoints_that_the_contract_links_to_are_described() -> None:
    text = (ROOT / "docs/reference/openapi.yaml").read_text("utf-8")
    assert "openapi: 3" in text
    assert "/api/v1/entries/" in text


def commands(start: str) -> list[list[str]]:
    """The words after ``start`` of every command that a page shows in a console's block."""
    lines = [line for page in PAGES for line in page.console if f"-m {start}" in line]
    return [shlex.split(line.partition(f"-m {start}")[2].partition(" > ")[0]) for line in lines]


def test_every_command_of_the_server_that_a_page_shows_is_one_that_it_takes() -> None:
    from server.config.commands import parser

    shown = commands("server ")
    assert {"new-farm", "serve", "code", "backup", "restore", "book"} <= {words[0] for words in shown}
    for words in shown:
        parser().parse_args(["1" if word == "NUMBER" else word for word in words])


def test_every_command_of_the_demo_that_a_page_shows_is_one_that_it_takes() -> None:
    from demo_fixtures.__main__ import parser

    shown = commands("demo_fixtures ")
    assert shown
    for words in shown:
        parser().parse_args(words)


def test_every_computation_that_a_page_shows_gives_an_answer() -> None:
    from shared.reckoning.__main__ import main

    shown = commands("shared.reckoning ")
    assert shown
    for words in shown:
        out, err = io.StringIO(), io.StringIO()
        assert main(words, out, err) == 0, err.getvalue()
        assert '"answer"' in out.getvalue()


def test_the_proof_takes_what_the_pages_give_it(capsys: pytest.CaptureFixture[str]) -> None:
    from shared.proof.__main__ import main

    shown = commands("shared.proof ")
    given = {word for words in shown for word in words if word.startswith("--")}
    with pytest.raises(SystemExit) as ended:
        main(["--help"])
    assert ended.value.code == 0
    helped = capsys.readouterr().out
    assert {"--chain", "--root"} <= given
    assert {one for one in given if one not in helped} == set()


def test_the_phone_and_its_page_of_options_name_the_same() -> None:
    from mobile.main import options

    page = of("docs/reference/phone-options.md")
    told = re.findall(r"^\| `--([a-z-]+)[^`]*` \| `(GOODGROUND_[A-Z_]+)`", page.text, re.M)
    known = {name.replace("_", "-") for name in vars(options([]))}
    assert {name for name, _ in told} == known
    assert {variable for _, variable in told} == {
        "GOODGROUND_" + name.upper().replace("-", "_") for name in known
    }


def test_every_option_of_the_phone_that_a_page_shows_is_one_that_it_has() -> None:
    from mobile.main import options

    known = set(vars(options([])))
    lines = [line for page in PAGES for line in page.console if "make phone" in line or "mobile.main" in line]
    given = {word.replace("-", "_") for line in lines for word in re.findall(r"--([a-z-]+)", line)}
    assert {"data", "server", "nmea"} <= given <= known
