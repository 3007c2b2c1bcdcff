"""`python -m shared.proof FILE [--farm UUID] [--chain HEX] [--root HEX]`: checks an exported book.

Exit 0: whole. Exit 1: a line is missing, altered or out of place, and which. Exit 2: the file can't be read.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator
from typing import BinaryIO
from uuid import UUID

from shared.languages import say
from shared.proof.check import Report, check, farm_named

LONGEST_END = 1_048_576


def lines_of(file: BinaryIO) -> Iterator[bytes]:
    for line in file:
        yield line.rstrip(b"\n")


def last_line(file: BinaryIO) -> bytes:
    """The last line, looked for from the end so that a large book is not read twice."""
    size = file.seek(0, os.SEEK_END)
    file.seek(max(0, size - LONGEST_END))
    tail = file.read().rstrip(b"\n")
    file.seek(0)
    return tail.rsplit(b"\n", 1)[-1]


def told(report: Report, chain: str | None, root: str | None, language: str) -> list[str]:
    """What a person is told, and after it whether the seal or chain that they hold is in the book."""
    if report.fault is not None:
        fault = report.fault
        number = "?" if fault.number is None else str(fault.number)
        return [say(language, f"proof.{fault.what}", number=number, at=fault.at, detail=fault.detail)]
    out = [
        say(language, "proof.whole", rows=report.rows, last=str(report.last or 0), chain=report.chain or "-")
    ]
    if report.redacted:
        out.append(say(language, "proof.redacted", count=report.redacted))
    out += [
        say(
            language,
            "proof.seal",
            number=str(one.number),
            first=str(one.first),
            last=str(one.last),
            root=one.root,
        )
        for one in report.seals
        if one.whole
    ]
    if chain is not None:
        out.append(
            say(language, "proof.held_chain_agrees" if chain == report.chain else "proof.held_differs")
        )
    if root is not None:
        agrees = root in {one.root for one in report.seals if one.whole}
        out.append(say(language, "proof.held_root_agrees" if agrees else "proof.held_differs"))
    return [*out, say(language, "proof.what_it_proves")]


def main(words: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m shared.proof", description=__doc__)
    parser.add_argument("file")
    parser.add_argument("--farm", type=UUID)
    parser.add_argument("--chain")
    parser.add_argument("--root")
    parser.add_argument("--language", choices=("en", "es"), default="en")
    asked = parser.parse_args(words)
    try:
        with open(asked.file, "rb") as file:
            report = check(lines_of(file), asked.farm or farm_named(last_line(file)))
    except OSError as error:
        print(
            say(asked.language, "proof.no_file", file=asked.file, detail=error.strerror or ""),
            file=sys.stderr,
        )
        return 2
    sentences = told(report, asked.chain, asked.root, asked.language)
    print("\n".join(sentences))
    differs = say(asked.language, "proof.held_differs") in sentences
    return 1 if report.fault is not None or differs else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
