"""A rule sheet's TOML as a ``Sheet``, or an error that says file, line and key.

Growers write sheets by hand, so each slip (a key left out, misspelt, written twice, of the wrong kind, out of
range) is told where it stands.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, get_args

from shared.errors import BrokenSheet
from shared.rules.keys import Key, all_keys
from shared.rules.sheet import Clause, Force, Sheet, Unfound, Value
from shared.words.finding import SheetStanding

NOT_FOUND = "not found"
"""What a sheet writes as the value of a key that was looked for and not found."""

HEAD_NEEDED = ("name", "title", "authority", "edition", "force")
HEAD_ALLOWED = (*HEAD_NEEDED, "read_on")
CLAUSE_ALLOWED = ("value", "citation", "read_on", "standing", "force", "basis", "to", "note")

_HEADER = re.compile(r"^\s*\[\[?\s*([^\[\]]+?)\s*\]")
_ASSIGNED = re.compile(r"""^\s*([A-Za-z0-9_\-."' ]+?)\s*=""")
_AT_LINE = re.compile(r"at line (\d+)")
_NAME = re.compile(r"[a-z][a-z0-9_]*")
_DAY_READ = re.compile(r"\d{4}-(0[1-9]|1[0-2])(-(0[1-9]|[12]\d|3[01]))?")

Path = tuple[str, ...]


def parse(text: str, filename: str) -> Sheet:
    """The sheet that a TOML text states. Raises ``BrokenSheet`` naming file, line (None where the fault has
    no line of its own), key and what is wrong."""
    page = _Page(filename, _lines(text))
    told = page.told(text)
    return page.sheet(told)


def line_of(text: str, *key: str) -> int | None:
    """The line on which a key of a sheet stands, counted from 1; None where it is not written out."""
    return _lines(text).get(key)


def _lines(text: str) -> dict[Path, int]:
    """The line on which each key and each table of a TOML text first stands, counted from 1."""
    where: dict[Path, int] = {}
    table: Path = ()
    for number, line in _outside_long_strings(text):
        if header := _HEADER.match(line):
            table = _path(header[1])
            where.setdefault(table, number)
        elif assigned := _ASSIGNED.match(line):
            key = (*table, *_path(assigned[1]))
            where.setdefault(key, number)
            where.setdefault(key[:1], number)
    return where


def _path(dotted: str) -> Path:
    return tuple(part.strip().strip("\"'") for part in dotted.split("."))


def _outside_long_strings(text: str) -> Iterator[tuple[int, str]]:
    fence = ""
    for number, line in enumerate(text.splitlines(), start=1):
        if not fence:
            yield number, line
        for mark in ('"""', "'''"):
            if fence in ("", mark) and line.count(mark) % 2:
                fence = "" if fence else mark
                break


@dataclass(frozen=True, slots=True)
class _Page:
    """A sheet's file while it is read: where each key stands, to say so when one is wrong."""

    file: str
    lines: Mapping[Path, int]

    def broken(self, path: Path, wrong: str) -> BrokenSheet:
        line = next((self.lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in self.lines), None)
        return BrokenSheet(self.file, line, ".".join(path), wrong)

    def told(self, text: str) -> dict[str, Any]:
        try:
            return tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise self._unparsable(text, str(error)) from None
        except (ValueError, RecursionError):
            raise BrokenSheet(
                self.file, None, "", "no value of a sheet is as long or as deep as one in here"
            ) from None

    def _unparsable(self, text: str, said: str) -> BrokenSheet:
        at = _AT_LINE.search(said)
        line = int(at[1]) if at else max(1, len(text.splitlines()))
        path, _ = max(
            ((path, number) for path, number in self.lines.items() if number <= line),
            key=lambda found: (found[1], len(found[0])),
            default=((), 0),
        )
        twice = "Cannot overwrite" in said or "twice" in said
        if twice and (again := self._named_on(text, line)):
            path = again
        wrong = "this key is written twice; keep one of them" if twice else f"this is not TOML: {said}"
        return BrokenSheet(self.file, line, ".".join(path), wrong)

    def _named_on(self, text: str, line: int) -> Path:
        table: Path = ()
        for number, words in _outside_long_strings(text):
            if header := _HEADER.match(words):
                table = _path(header[1])
                if number == line:
                    return table
            elif number == line and (assigned := _ASSIGNED.match(words)):
                return (*table, *_path(assigned[1]))
        return ()

    def sheet(self, told: Mapping[str, Any]) -> Sheet:
        head = self._head(told)
        stated: dict[str, Clause[Value]] = {}
        unfound: list[Unfound] = []
        for name, table in told.items():
            if name in HEAD_ALLOWED:
                continue
            if name not in all_keys():
                raise self.broken(
                    (name,), f"no key of a sheet has this name; there are {', '.join(all_keys())}"
                )
            if not isinstance(table, dict):
                raise self.broken(
                    (name,), f"write it as a table: [{name}] and below it value, citation, standing"
                )
            read = self._clause(all_keys()[name], table, head)
            if isinstance(read, Unfound):
                unfound.append(read)
            else:
                stated[name] = read
        clauses: dict[str, Any] = stated
        return Sheet(
            name=head["name"],
            title=head["title"],
            authority=head["authority"],
            edition=head["edition"],
            unfound=tuple(unfound),
            **clauses,
        )

    def _head(self, told: Mapping[str, Any]) -> dict[str, str]:
        for name in HEAD_NEEDED:
            if name not in told:
                raise self.broken((name,), "a sheet needs this key at its top, above the first table")
        head = {name: self._text((name,), told[name]) for name in HEAD_NEEDED}
        if not _NAME.fullmatch(head["name"]):
            raise self.broken(
                ("name",), "a sheet's name is small letters, digits and _, beginning with a letter"
            )
        self._one_of(("force",), head["force"], get_args(Force))
        head["read_on"] = self._read_on(("read_on",), told["read_on"]) if "read_on" in told else ""
        return head

    def _clause(self, key: Key, table: Mapping[str, Any], head: Mapping[str, str]) -> Clause[Value] | Unfound:
        for name in table:
            if name not in CLAUSE_ALLOWED:
                raise self.broken(
                    (key.name, name), f"no such word here; there are {', '.join(CLAUSE_ALLOWED)}"
                )
        if "value" not in table:
            raise self.broken((key.name, "value"), f'a key needs its value, or value = "{NOT_FOUND}"')
        read_on = self._date_read(key.name, table, head)
        if table["value"] == NOT_FOUND:
            if "note" not in table:
                raise self.broken((key.name, "note"), "say where was looked, since the value was not found")
            return Unfound(key.name, self._text((key.name, "note"), table["note"]), read_on)
        return self._stated(key, table, head, read_on)

    def _stated(
        self, key: Key, table: Mapping[str, Any], head: Mapping[str, str], read_on: str
    ) -> Clause[Value]:
        for name in ("citation", "standing"):
            if name not in table:
                raise self.broken(
                    (key.name, name), "a value needs this: where it stands, and how it was read"
                )
        words = {
            name: self._text((key.name, name), table[name])
            for name in ("citation", "standing", "force", "basis", "note")
            if name in table
        }
        self._one_of((key.name, "standing"), words["standing"], get_args(SheetStanding))
        self._one_of((key.name, "force"), words.get("force", head["force"]), get_args(Force))
        try:
            value = key.read(table["value"])
        except ValueError as error:
            raise self.broken((key.name, "value"), str(error)) from None
        standing: Any = words["standing"]
        force: Any = words.get("force", head["force"])
        return Clause(
            key.name,
            value,
            unit=key.unit,
            citation=words["citation"],
            read_on=read_on,
            standing=standing,
            force=force,
            basis=self._basis(key, words.get("basis")),
            to=self._to(key, table),
            note=words.get("note", ""),
        )

    def _basis(self, key: Key, basis: str | None) -> str:
        if basis is None:
            return key.bases[0] if key.bases else ""
        if not key.bases:
            raise self.broken((key.name, "basis"), "this key has but one sense, so no basis")
        self._one_of((key.name, "basis"), basis, key.bases)
        return basis

    def _to(self, key: Key, table: Mapping[str, Any]) -> tuple[str, ...]:
        raw = table.get("to", [])
        if not isinstance(raw, list) or not all(isinstance(one, str) and one for one in raw):
            raise self.broken((key.name, "to"), 'write a list of words, as in ["county"]')
        return tuple(raw)

    def _date_read(self, name: str, table: Mapping[str, Any], head: Mapping[str, str]) -> str:
        if "read_on" in table:
            return self._read_on((name, "read_on"), table["read_on"])
        if not head["read_on"]:
            raise self.broken((name, "read_on"), "say when it was read, here or once at the top of the sheet")
        return head["read_on"]

    def _read_on(self, path: Path, raw: Any) -> str:
        text = raw.isoformat() if type(raw) is date else raw
        if not isinstance(text, str) or not _DAY_READ.fullmatch(text):
            raise self.broken(path, 'write the month or the day it was read, as "2026-11" or "2026-11-03"')
        return text

    def _text(self, path: Path, raw: Any) -> str:
        if not isinstance(raw, str) or not raw.strip():
            raise self.broken(path, 'write a text in quotes, as in "text"')
        return raw.strip()

    def _one_of(self, path: Path, word: str, words: tuple[str, ...]) -> None:
        if word not in words:
            raise self.broken(path, f"{word!r} can't be used here; write one of {', '.join(words)}")
