"""What is written about the server agrees with the server."""

from __future__ import annotations

import re
from pathlib import Path

from server.api.v1 import urls
from server.config.commands import COMMANDS

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "reference" / "commands-and-settings.md").read_text("utf-8")


def test_every_command_stands_in_the_reference_and_no_other() -> None:
    told = set(re.findall(r"^\| `([a-z-]+)", PAGE, re.MULTILINE))
    assert told == {one.name for one in COMMANDS}


def test_every_setting_from_outside_stands_in_the_reference_and_no_other() -> None:
    sources = [path.read_text("utf-8") for path in (ROOT / "server").rglob("*.py")]
    read = {name for text in sources for name in re.findall(r"GOODGROUND_[A-Z_]+", text)}
    assert set(re.findall(r"`(GOODGROUND_[A-Z_]+)`", PAGE)) == read


def test_every_endpoint_of_the_contract_is_described() -> None:
    from drf_spectacular.generators import SchemaGenerator

    schema = SchemaGenerator().get_schema(request=None, public=True)
    described = {path.removeprefix("/api/v1/").replace("{sha256}/", ".") for path in schema["paths"]}
    routed = {
        str(one.pattern).replace("(?P<sha256>[0-9a-f]{64})/?$", ".").replace("<slug:name>", "{name}")
        for one in urls.urlpatterns
    }
    assert described == routed - {""}
