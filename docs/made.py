"""`make docs`: writes the parts of docs/ that are made from the code, and takes the pictures from the demo.

    python docs/made.py [--check | --pages]

`--check` only says which pages are stale, and ends with 1 where one is; `--pages` leaves the pictures as they are. A
picture is of the day on which it was taken, so that no check can hold it.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), str(ROOT / "docs")]

import reckoner  # noqa: E402
import sources  # noqa: E402

RECKONER = ROOT / "docs/reference/reckoner.md"
SOURCES = ROOT / "docs/reference/sources.md"
CONTRACT = ROOT / "docs/reference/sync-contract.md"
ENDPOINTS = ROOT / "docs/reference/openapi.yaml"
NAMED = re.compile(r"def (test_((?:[Ww]\d+[bcd]?|[Ii]\d+)(?:_(?:[Ww]\d+[bcd]?|[Ii]\d+))*)_\w+)")
MARK = re.compile(r"<!-- tests ([WI0-9bcd ]+) -->(?:\n<!-- made -->.*?<!-- end -->)?", re.S)


def tests_by_clause() -> dict[str, list[tuple[str, str]]]:
    """(file, test) for each clause or invariant that a test's name carries."""
    out: dict[str, list[tuple[str, str]]] = {}
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        for name, clauses in NAMED.findall(path.read_text("utf-8")):
            for clause in clauses.split("_"):
                out.setdefault(clause[0].upper() + clause[1:], []).append((str(path.relative_to(ROOT)), name))
    return out


def sync_contract(text: str) -> str:
    known = tests_by_clause()

    def listed(found: re.Match[str]) -> str:
        lines = []
        for clause in found.group(1).split():
            by_file: dict[str, list[str]] = {}
            for file, name in known.get(clause, []):
                by_file.setdefault(file, []).append(name.removeprefix("test_").replace("_", " "))
            for file, names in by_file.items():
                lines.append(f"- `{file}`: " + "; ".join(sorted(names)))
        return f"<!-- tests {found.group(1)} -->\n<!-- made -->\n" + "\n".join(lines) + "\n<!-- end -->"

    return MARK.sub(listed, text)


def endpoints() -> str:
    """The server's own description of its endpoints, from a process that has its settings."""
    command = [sys.executable, "-m", "server", "openapi"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"the endpoints can't be described:\n{done.stderr}")
    return "# Made from the code by `make docs`; don't edit.\n" + done.stdout.strip() + "\n"


def pages() -> dict[Path, str]:
    """Every page that is made, and what should stand in it."""
    return {
        CONTRACT: sync_contract(CONTRACT.read_text("utf-8")),
        ENDPOINTS: endpoints(),
        RECKONER: reckoner.page(),
        SOURCES: sources.page(),
    }


def main(words: list[str]) -> int:
    wanted = pages()
    stale = [path for path, text in wanted.items() if not path.exists() or path.read_text("utf-8") != text]
    if "--check" in words:
        for path in stale:
            print(f"{path.relative_to(ROOT)} is stale: run make docs")
        return 1 if stale else 0
    for path in stale:
        path.write_text(wanted[path], "utf-8")
        print(f"wrote {path.relative_to(ROOT)}")
    return 0 if "--pages" in words else pictures_taken()


def pictures_taken() -> int:
    # What the pictures need (Xvfb, Chromium) the pages don't.
    import pictures

    # Kivy settles once in a process, and each list of scenes wants its own.
    drawn = subprocess.run([sys.executable, str(Path(__file__).parent / "phone_pictures.py")], check=False)
    return drawn.returncode or pictures.main([])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
