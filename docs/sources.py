"""The page of sources: every figure of the pure core with its unit, its source and how well it is known."""

from __future__ import annotations

import ast
import importlib
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from shared.units import Figure, Source

ROOT = Path(__file__).resolve().parents[1]
FOLDERS = ("reckoning", "rules", "status", "ahead")
STANDING = {
    "defined": "defined by a standard",
    "read": "read in the source",
    "summary": "read in a summary of it, not in its text",
    "derived": "derived by arithmetic from what was read or defined",
    "practice": "common practice, no source",
    "memory": "from memory, unconfirmed: guidance at most, never a rule",
}
HEAD = """# Sources

Made from the code by `make docs`; don't edit. Each number of the trade, of a standard or of our own choosing stands
in `shared/` as a figure with its unit and its source. The limits of the rule sheets have their own page,
[rule sheets](rule-sheets.md).
"""


def modules() -> Iterator[str]:
    """The modules that hold figures, by import name."""
    yield "shared.units"
    for folder in FOLDERS:
        for path in sorted((ROOT / "shared" / folder).rglob("*.py")):
            if not path.stem.startswith("__"):
                yield ".".join(path.relative_to(ROOT).with_suffix("").parts)


def assigned(module: str) -> list[str]:
    """The names that a module itself gives a value at its top level, in order."""
    tree = ast.parse((ROOT / f"{module.replace('.', '/')}.py").read_text("utf-8"))
    names = []
    for node in tree.body:
        targets = node.targets if isinstance(node, ast.Assign) else []
        targets = [node.target] if isinstance(node, ast.AnnAssign) else targets
        names += [target.id for target in targets if isinstance(target, ast.Name)]
    return names


def found(label: str, value: Any) -> Iterator[tuple[str, Figure | Source]]:
    """The figures and sources inside a value, each with the name that leads to it."""
    if isinstance(value, (Figure, Source)):
        yield label, value
    elif isinstance(value, Mapping):
        for key, each in value.items():
            yield from found(f"{label}, {key}", each)
    elif isinstance(value, (tuple, list)):
        for number, each in enumerate(value, 1):
            yield from found(f"{label}, {number}", each)
    elif is_dataclass(value) and not isinstance(value, type):
        for one in fields(value):
            yield from found(f"{label}, {one.name}", getattr(value, one.name))


def everything() -> tuple[dict[Source, list[tuple[str, str, Figure]]], list[Source]]:
    """Figures by source as (module, label, figure), and every source there is, in order of title."""
    by_source: dict[Source, list[tuple[str, str, Figure]]] = {}
    for module in modules():
        held = importlib.import_module(module)
        for name in assigned(module):
            for label, one in found(name, getattr(held, name)):
                if isinstance(one, Source):
                    by_source.setdefault(one, [])
                else:
                    by_source.setdefault(one.source, []).append((module, label, one))
    return by_source, sorted(by_source, key=lambda source: source.title.lower())


def written(value: float) -> str:
    """A figure's value as a person writes it: whole where it is whole, nothing rounded away."""
    return f"{int(value):,}" if value == int(value) else repr(value)


def page() -> str:
    """The whole page as Markdown."""
    by_source, sources = everything()
    lines = [HEAD]
    for standing, meaning in STANDING.items():
        of = [source for source in sources if source.standing == standing]
        if not of:
            continue
        lines.append(f"\n## {meaning[0].upper()}{meaning[1:]}\n")
        for source in of:
            year = f" ({source.year})" if source.year and str(source.year) not in source.title else ""
            lines.append(f"\n### {source.key}\n\n{source.title}{year}.\n")
            held = by_source[source]
            if held:
                lines.append("\n| figure | value | unit |\n| --- | --- | --- |\n")
                for module, label, figure in held:
                    name = f"`{module.removeprefix('shared.')}` {label}"
                    lines.append(f"| {name} | {written(figure.value)} | {figure.unit.replace('|', '/')} |\n")
            else:
                lines.append("\nNo number of its own: a formula or a rule.\n")
    return "".join(lines)
