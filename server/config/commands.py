"""One table of commands. Each sets the data folder first and Django after it."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from server.config.place import Place
from shared.errors import GoodgroundError
from shared.languages import say

Argument = tuple[tuple[str, ...], dict[str, Any]]


def argument(*names: str, **how: Any) -> Argument:
    return names, how


DATA = argument("--data", metavar="DIR", required=True, help="the folder that holds the book")
FARM = argument("--farm", metavar="NAME", required=True, help="the farm's name")


@dataclass(frozen=True, slots=True)
class Command:
    """What it is called, what it says of itself, what it takes, and the function of ``config.doing`` that does it."""

    name: str
    help: str
    arguments: tuple[Argument, ...]
    does: str


COMMANDS = (
    Command(
        "new-farm",
        "make a farm with its owner as first person and print a link that signs the owner in once",
        (
            argument("name", metavar="NAME", help="the farm's name"),
            argument("--zone", metavar="IANA", default="America/New_York", help="its time zone"),
            argument("--owner", metavar="NAME", default=None, help="the owner's name"),
            argument("--address", metavar="URL", default="http://127.0.0.1:8000", help="where the pages are"),
            DATA,
        ),
        "new_farm",
    ),
    Command(
        "code",
        "print one joining slip's code and nothing else",
        (
            FARM,
            argument(
                "--square",
                metavar="URL",
                help="print the slip's square and link too; the server's address as phones reach it",
            ),
            DATA,
        ),
        "code",
    ),
    Command(
        "serve",
        "serve phones and pages, on loopback unless told otherwise",
        (
            argument("--port", type=int, default=8000, metavar="N"),
            argument("--host", default="127.0.0.1", metavar="ADDRESS"),
            argument("--threads", type=int, default=8, metavar="N"),
            argument(
                "--tls",
                nargs="*",
                metavar="FILE",
                help="speak HTTPS: with a certificate and its key, or with none and a key of the farm's own",
            ),
            DATA,
        ),
        "serve",
    ),
    Command("rebuild-status", "make the rows that follow from the book again", (DATA,), "rebuild_status"),
    Command(
        "read-again",
        "keep what was held for a kind, edition, field or person that is known by now",
        (DATA,),
        "read_again",
    ),
    Command(
        "take",
        "take a carry file in",
        (
            argument("file", metavar="FILE", help="a file *.goodground that a phone wrote"),
            argument(
                "--leave",
                action="store_true",
                help="with an owner's leave: also of a stopped or forgotten phone, all of it held",
            ),
            DATA,
        ),
        "take",
    ),
    Command(
        "backup",
        "copy the book into a new folder, read the copy back and check it; the server may go on",
        (argument("into", metavar="DIR", help="where backups are kept"), DATA),
        "backup",
    ),
    Command(
        "backed-up",
        "tell of a backup made by other means: up to which book number it reaches",
        (argument("number", type=int, metavar="NUMBER"), FARM, DATA),
        "backed_up",
    ),
    Command(
        "restore",
        "put the data folder back from a backup; the server must be stopped",
        (argument("backup", metavar="BACKUP", help="the folder of one backup"), DATA),
        "restore",
    ),
    Command(
        "redact",
        "erase a person's name from the people and from the words of entries; the book's chain still proves",
        (
            argument(
                "person", metavar="PERSON", help="the person's name, or id where two have the same name"
            ),
            argument("--why", required=True, metavar="WORDS", help="why; it stands in the book"),
            argument(
                "--also",
                action="append",
                default=[],
                metavar="WORDS",
                help="a short name or another spelling to take out of entries too; may be given again",
            ),
            FARM,
            DATA,
        ),
        "redact",
    ),
    Command("book", "print a farm's book as lines that python -m shared.proof checks", (FARM, DATA), "book"),
    Command(
        "weather",
        "fetch the last days' lows, highs and rain from the station service that is set; off unless one is",
        (argument("--days", type=int, default=14, metavar="N", help="how many days back"), FARM, DATA),
        "weather",
    ),
    Command("openapi", "print the OpenAPI description of the endpoints", (), "openapi"),
)


def parser() -> argparse.ArgumentParser:
    out = argparse.ArgumentParser(prog="python -m server", description="Goodground's server.")
    several = out.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for command in COMMANDS:
        one = several.add_parser(command.name, help=command.help, description=command.help)
        for names, how in command.arguments:
            one.add_argument(*names, **how)
        one.set_defaults(does=command.does)
    return out


def run(arguments: Sequence[str]) -> int:
    """Exit code 0, or 1 with one sentence on standard error that says what is wrong and what to do."""
    told = parser().parse_args(arguments)
    if getattr(told, "data", None):
        os.environ["GOODGROUND_DATA"] = str(Path(told.data).resolve())
        Place(Path(told.data)).make()
    if getattr(told, "tls", None) is not None:
        os.environ["GOODGROUND_TLS"] = "itself"
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.config.settings")
    import django

    django.setup()
    from server.config import doing

    does: Callable[[argparse.Namespace], int | None] = getattr(doing, told.does)
    try:
        return does(told) or 0
    except GoodgroundError as error:
        print(say("en", f"refusals.{error.code}.detail", **error.facts()), file=sys.stderr)
        return 1
