"""The recipe for Android: as far as it can be held without the Android SDK."""

from __future__ import annotations

import ast
import configparser
import re
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

from mobile.actions.join import OPENS_APP
from mobile.main import APP_VERSION
from tests.docs.reading import ROOT

SPEC = ROOT / "mobile/buildozer.spec"
PACKED = ("mobile", "shared")
ANDROIDS_PYTHON = (3, 14)
"""What python-for-android 2026.5 builds."""
BUILT = {"python3", "sqlite3", "openssl", "android", "pyjnius", "kivy"}
"""What it compiles itself, by recipes of its own."""
IMPORTED_AS = {"pyjnius": "jnius", "charset-normalizer": "charset_normalizer"}
BROUGHT_ALONG = {"certifi", "charset-normalizer", "idna", "filetype"}
"""What requests and Kivy import."""
SIGNS = {
    "INTERNET": r"import requests",
    "ACCESS_NETWORK_STATE": r"getActiveNetwork\(\)",
    "ACCESS_FINE_LOCATION": r"Permission\.ACCESS_FINE_LOCATION",
    "ACCESS_COARSE_LOCATION": r"Permission\.ACCESS_COARSE_LOCATION",
    "VIBRATE": r"\.vibrate\(",
}
"""What in the app's sources wants each permission."""


@cache
def spec() -> configparser.ConfigParser:
    out = configparser.ConfigParser()
    out.read_string(SPEC.read_text("utf-8"))
    return out


def told(key: str) -> list[str]:
    return [one.strip() for one in spec()["app"][key].split(",")]


def sources() -> list[Path]:
    return [path for folder in PACKED for path in sorted((ROOT / folder).rglob("*.py"))]


def imported() -> dict[str, str]:
    """What the app imports from outside itself and Python, and one file that does."""
    out = {}
    for path in sources():
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = [one.name for one in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) and not node.level else []
            for name in names:
                out[name.partition(".")[0]] = str(path.relative_to(ROOT))
    return {name: file for name, file in out.items() if name not in (*sys.stdlib_module_names, *PACKED)}


def pinned(file: Path) -> dict[str, str]:
    return dict(re.findall(r"^([A-Za-z0-9_-]+)==(\S+)$", file.read_text("utf-8"), re.M))


def test_the_tool_that_builds_accepts_the_recipe() -> None:
    """The two checks that Buildozer itself makes first, in a process of its own since it changes its surroundings."""
    program = (
        "import sys; from buildozer import Buildozer; b = Buildozer(filename=sys.argv[1], target='android');"
        "b.check_configuration_tokens(); b.target.check_configuration_tokens(); print('taken')"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program, str(SPEC)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert ran.stdout.splitlines()[-1:] == ["taken"], ran.stdout + ran.stderr


def test_every_requirement_has_a_recipe_or_is_pure_python() -> None:
    """python-for-android's own resolving of the graph; it compiles nothing and asks no network."""
    program = (
        "import sys; from pythonforandroid.build import Context;"
        "from pythonforandroid.bootstrap import Bootstrap;"
        "from pythonforandroid.graph import get_recipe_order_and_bootstrap as order;"
        "c = Context(); c.local_recipes = None;"
        "built, pure, boot = order(c, sys.argv[1:], Bootstrap.get_bootstrap('sdl2', c));"
        "print(' '.join(built)); print(' '.join(pure))"
    )
    names = [one.partition("==")[0] for one in told("requirements")]
    ran = subprocess.run([sys.executable, "-c", program, *names], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    built, pure = (set(line.split()) for line in ran.stdout.splitlines()[-2:])
    assert built >= BUILT
    assert set(names) - BUILT <= pure


def test_what_is_not_compiled_by_a_recipe_is_pure_python_here_too() -> None:
    from importlib.metadata import files

    compiled = {}
    for one in told("requirements"):
        name = one.partition("==")[0]
        # charset-normalizer also comes as a wheel of pure Python, which is what Android gets.
        if name not in BUILT | {"charset-normalizer"}:
            compiled[name] = [str(file) for file in files(name) or () if file.suffix in (".so", ".pyd")]
    assert {name: found for name, found in compiled.items() if found} == {}


def test_pins_agree_with_the_phones_requirements() -> None:
    wanted = {name.lower(): version for name, version in pinned(ROOT / "mobile/requirements.txt").items()}
    given = dict(one.split("==") for one in told("requirements") if "==" in one)
    assert given == wanted


def test_it_names_nothing_that_the_app_does_not_need_and_lacks_nothing_that_it_imports() -> None:
    names = {one.partition("==")[0] for one in told("requirements")}
    as_imported = {IMPORTED_AS.get(name, name) for name in names}
    assert {name: file for name, file in imported().items() if name not in as_imported} == {}
    silent = {"python3", "sqlite3", "openssl", "tzdata"} | {
        IMPORTED_AS.get(one, one) for one in BROUGHT_ALONG
    }
    assert as_imported - set(imported()) == silent


def test_zones_come_along_since_android_has_none_that_python_reads() -> None:
    assert any("ZoneInfo" in path.read_text("utf-8") for path in sources())
    assert any(one.startswith("tzdata==") for one in told("requirements"))


def test_every_permission_is_wanted_by_the_code_and_explained() -> None:
    text = SPEC.read_text("utf-8")
    code = "\n".join(path.read_text("utf-8") for path in sources())
    names = {one.removeprefix("android.permission.") for one in told("android.permissions")}
    assert names == SIGNS.keys()
    for name in names:
        assert re.search(SIGNS[name], code), name
        assert re.search(rf"^# {name}: \w", text, re.M), name
    assert set(re.findall(r"Permission\.([A-Z_]+)", code)) <= names


def test_androids_backup_is_off_and_root_is_not_asked() -> None:
    assert spec()["app"]["android.allow_backup"] == "False"
    assert spec()["buildozer"]["warn_on_root"] == "0"


def test_the_version_is_the_same_everywhere() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    assert {project, spec()["app"]["version"], APP_VERSION} == {project}


def test_all_sources_are_python_that_android_builds_and_that_the_desktop_runs() -> None:
    """`ast` reads them as the older grammar; ruff, which knows the newer one, as Android's."""
    for path in sources():
        ast.parse(path.read_text("utf-8"), str(path), feature_version=(3, 11))
    version = f"py{ANDROIDS_PYTHON[0]}{ANDROIDS_PYTHON[1]}"
    command = [
        "-m",
        "ruff",
        "check",
        "--quiet",
        "--isolated",
        "--select",
        "E9,F",
        "--target-version",
        version,
    ]
    ran = subprocess.run([sys.executable, *command, *PACKED], cwd=ROOT, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stdout


@pytest.fixture(scope="module")
def staged(tmp_path_factory: pytest.TempPathFactory) -> Path:
    into = tmp_path_factory.mktemp("android")
    subprocess.run(["bash", "mobile/stage_android.sh", str(into)], cwd=ROOT, check=True, capture_output=True)
    return into


def test_the_folder_that_is_packed_holds_the_app_whole_and_nothing_more(staged: Path) -> None:
    assert {one.name for one in staged.iterdir()} == {
        *PACKED, "main.py", "buildozer.spec", "intent_filters.xml", "queries.xml", "LICENSE.txt",
    }  # fmt: skip
    kinds = {f".{one}" for one in told("source.include_exts")}
    wanted = {
        path.relative_to(ROOT)
        for folder in PACKED
        for path in (ROOT / folder).rglob("*")
        if path.suffix in kinds and "__pycache__" not in path.parts
    }
    laid = {
        path.relative_to(staged)
        for folder in PACKED
        for path in (staged / folder).rglob("*")
        if path.is_file()
    }
    assert laid == wanted
    assert not any(path.is_symlink() for path in staged.rglob("*"))
    assert len((staged / "main.py").read_text("utf-8").splitlines()) == 2


def test_every_file_that_the_app_reads_is_of_a_kind_that_is_packed() -> None:
    kinds = {f".{one}" for one in told("source.include_exts")} | {".spec", ".xml", ".sh", ".pyc"}
    there = {path for folder in PACKED for path in (ROOT / folder).rglob("*") if path.is_file()}
    assert {str(path) for path in there if path.suffix not in kinds} == set()


def test_what_is_packed_starts_from_its_two_lines_alone(staged: Path) -> None:
    """The packed folder alone on the path: every import of the app but Android's own resolves there."""
    program = (
        "import sys; sys.path[:] = [sys.argv[1]] + [p for p in sys.path if p and p != sys.argv[2]];"
        "import mobile.main, shared.languages, shared.rules;"
        "assert mobile.main.__file__.startswith(sys.argv[1]), mobile.main.__file__;"
        "print(len(shared.languages.sentences('es')) > 100)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program, str(staged), str(ROOT)],
        cwd=staged,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.stdout.strip() == "True", ran.stderr


def test_the_manifests_pieces_are_sound_and_are_laid_beside_the_recipe(tmp_path: Path) -> None:
    """What opens the app by a slip's link, and what lets it see the phone's voices."""
    from xml.etree import ElementTree

    subprocess.run(
        ["bash", "mobile/stage_android.sh", str(tmp_path)], cwd=ROOT, check=True, capture_output=True
    )
    android = "{http://schemas.android.com/apk/res/android}"
    for key, tag in (("android.manifest.intent_filters", "data"), ("android.extra_manifest_xml", "action")):
        piece = (tmp_path / told(key)[0]).read_text("utf-8")
        root = ElementTree.fromstring(f'<all xmlns:android="{android[1:-1]}">{piece}</all>')
        assert list(root.iter(tag)), key
    filters = (tmp_path / "intent_filters.xml").read_text("utf-8")
    assert f'android:scheme="{OPENS_APP.removesuffix("://")}"' in filters
