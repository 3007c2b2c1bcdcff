"""How a passed value becomes a finding: a verdict where the sheet's value binds, else a reminder."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import isclose
from typing import ParamSpec, TypeVar

from shared.rules.sheet import Clause, Sheet, Value
from shared.words.finding import Fact, Finding, in_order

V = TypeVar("V", bound=Value)
P = ParamSpec("P")


def judged(
    sheet: Sheet,
    clause: Clause[V],
    code: str,
    subject: str,
    *,
    cure: str,
    value: Fact | None = None,
    limit: Fact | None = None,
    firm: bool = True,
    **facts: Fact,
) -> Finding:
    """The finding that a clause was passed. ``firm`` is False where what was found is itself uncertain: then
    it is a reminder whatever the clause's standing. ``limit`` is the clause's own value unless another is
    given."""
    told = facts | {"sheet_title": sheet.title, "force": clause.force, "read_on": clause.read_on}
    return Finding(
        code,
        subject,
        "verdict" if firm and clause.binds else "reminder",
        cure=cure,
        value=value,
        limit=clause.value if limit is None else limit,
        unit=clause.unit,
        sheet=sheet.name,
        clause=clause.key,
        citation=clause.citation,
        standing=clause.standing,
        facts=tuple(sorted(told.items())),
    )


def over(value: float, limit: float) -> bool:
    """Whether a figure is above a limit by more than the rounding of the arithmetic."""
    return value > limit and not isclose(value, limit)


def check(find: Callable[P, Iterator[Finding]]) -> Callable[P, tuple[Finding, ...]]:
    """Makes a check answer all its findings at once, without repeats and in one order."""

    def all_found(*args: P.args, **kwargs: P.kwargs) -> tuple[Finding, ...]:
        return in_order(find(*args, **kwargs))

    all_found.__name__ = find.__name__
    all_found.__qualname__ = find.__qualname__
    all_found.__module__ = find.__module__
    all_found.__doc__ = find.__doc__
    return all_found
