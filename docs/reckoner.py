"""The page of the reckoner: every computation with its inputs, answer, formula, source and caution."""

from __future__ import annotations

from shared.languages import say
from shared.reckoning.computation import Computation
from shared.reckoning.table import RECKONER

HEAD = """# The reckoner

Made from the code by `make docs`; don't edit. Each computation has a name, inputs with the unit in the name, and
answer keys with the unit in the name. The same table drives the phone, the web page and the command line:

    python -m shared.reckoning leaf_depth yards_yd3=3100 area_ac=4.2

Lists are comma-separated, pairs `depth:value`, a ring `lat:lon,…`. Numbers come out unrounded; what is not certain
comes with the ends of its interval. An input that can't be used ends with status 2 and one JSON problem on standard
error. Where each figure is from: [sources](sources.md).
"""


def entry(of: Computation) -> str:
    """One computation as Markdown."""
    lines = [f"\n## {of.name}\n\n*{say('en', f'reckoner.{of.name}.title')}*\n\n"]
    lines.append(
        f"{say('en', f'reckoner.{of.name}.help')}\n\n| input | meaning | takes |\n| --- | --- | --- |\n"
    )
    for one in of.inputs:
        left_out = ""
        if one.optional:
            left_out = "; may be left out" if one.default is None else f"; {one.default} if left out"
        lines.append(
            f"| `{one.name}` | {say('en', f'reckoner.input.{one.name}')} | {one.allowed()}{left_out} |\n"
        )
    units = ", ".join(f"`{key}` {unit}".strip() for key, unit in of.units.items())
    lines.append(f"\nAnswers in units: {units}.\n" if units else "")
    lines.append(f"\nFormula: {of.formula}\n\nSource: {of.source}.\n")
    lines.append(f"\n> {say('en', of.caution)}\n" if of.caution else "")
    return "".join(lines)


def page() -> str:
    """The whole page as Markdown."""
    return HEAD + "".join(entry(of) for of in RECKONER.values())
