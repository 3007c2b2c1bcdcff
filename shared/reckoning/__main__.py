"""The reckoner from the command line: ``python -m shared.reckoning NAME input=value …``."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any, TextIO

from shared.errors import GoodgroundError, InputError, UnknownInput, UnknownName, Unparsable
from shared.languages import say
from shared.reckoning.computation import Computation, Input, as_answer
from shared.reckoning.table import RECKONER, computation

_REFUSED = 2


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(key): _plain(each) for key, each in value.items()}
    if isinstance(value, (tuple, list, set, frozenset)):
        return [_plain(each) for each in value]
    return value


def _texts(of: Computation, words: Sequence[str]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for word in words:
        name, equals, text = word.partition("=")
        if not equals:
            raise Unparsable(word, word, "input=value")
        if name in texts:
            raise Unparsable(name, text, "each input once")
        texts[name] = text
    return texts


def _answer(of: Computation, words: Sequence[str]) -> str:
    result = of.run(**of.read(_texts(of, words)))
    caution = of.caution_for(result)
    told = {
        "answer": _plain(as_answer(result)),
        "source": of.source,
        "caution": say("en", caution) if caution else None,
    }
    return json.dumps(told, allow_nan=False)


def _input_line(one: Input) -> str:
    default = ""
    if one.optional:
        default = "; may be left out" if one.default is None else f"; {_plain(one.default)} if left out"
    meaning = say("en", f"reckoner.input.{one.name}")
    return f"  {one.name}: {meaning} Takes {one.allowed()}{default}. Example: {one.example}"


def _help(of: Computation) -> Iterator[str]:
    yield f"{of.name}: {say('en', f'reckoner.{of.name}.title')}"
    yield say("en", f"reckoner.{of.name}.help")
    yield "Inputs:"
    yield from (_input_line(one) for one in of.inputs)
    if of.units:
        yield "Answer: " + ", ".join(f"{key} ({unit})" if unit else key for key, unit in of.units.items())
    yield f"Formula: {of.formula}"
    yield f"Source: {of.source}"
    if of.caution:
        yield f"Caution: {say('en', of.caution)}"


def _overview() -> Iterator[str]:
    yield "python -m shared.reckoning NAME input=value …; NAME --help tells its inputs"
    for of in RECKONER.values():
        yield f"  {of.name}: {say('en', f'reckoner.{of.name}.title')}"


def _problem(error: GoodgroundError) -> str:
    told: dict[str, Any] = {"code": error.code}
    if isinstance(error, InputError):
        told["input"] = error.name
        told["value"] = None if error.value is None else str(error.value)
        told["range"] = error.allowed
        value = "" if error.value is None else str(error.value)
        told["detail"] = say(
            "en", f"reckoner.problem.{error.code}", name=error.name, value=value, allowed=error.allowed
        )
    elif isinstance(error, UnknownName):
        told["input"] = "name"
        told["value"] = error.name
        told["range"] = "one of " + ", ".join(error.known)
        told["detail"] = say("en", "reckoner.problem.unknown_name", name=error.name)
    return json.dumps(told)


def main(words: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Answers the words of a command line on ``out``; a refusal goes to ``err`` as one JSON problem. Returns
    the exit status: 0, or 2 where refused."""
    try:
        match words:
            case []:
                told = "\n".join(RECKONER)
            case ["--help" | "-h"]:
                told = "\n".join(_overview())
            case [name, *rest] if "--help" in rest or "-h" in rest:
                told = "\n".join(_help(computation(name)))
            case [name, *rest]:
                told = _answer(computation(name), rest)
    except (InputError, UnknownName, UnknownInput) as error:
        print(_problem(error), file=err)
        return _REFUSED
    print(told, file=out)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:], sys.stdout, sys.stderr))
