"""A figure as it is keyed in."""

from __future__ import annotations

from decimal import Decimal

import pytest

from mobile.presenters.figure import Keyed


def keyed(keys: str, parts: bool = True) -> Keyed:
    figure = Keyed(parts)
    for key in keys:
        figure.key({".": "mark", "<": "rub"}.get(key, key))
    return figure


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        ("71", "71"),
        ("6.4", "6.4"),
        (".5", "0.5"),
        ("0071", "71"),
        ("6..4", "6.4"),
        ("1.239", "1.23"),
        ("12<3", "13"),
        ("<", ""),
        ("1234567", "123456"),
    ],
)
def test_keys_make_the_figure_that_is_shown(keys: str, text: str) -> None:
    assert keyed(keys).text == text


def test_a_whole_figure_has_no_decimal_mark() -> None:
    assert keyed("6.4", parts=False).text == "64"


def test_a_mark_with_nothing_after_it_is_no_part_of_the_value() -> None:
    assert keyed("6.").value == Decimal(6)


def test_nothing_keyed_in_is_no_value() -> None:
    assert keyed("").value is None
