"""Everything that can go wrong on the phone has a sentence in both languages, with its facts."""

from __future__ import annotations

import inspect
from decimal import Decimal
from typing import get_args
from uuid import UUID

import pytest

from mobile import trouble
from mobile.ports import LineState, NoFix, Standing
from shared.errors import GoodgroundError
from shared.languages import LANGUAGES, has, say
from shared.sync.outbox import Heard
from shared.wire.lines import WHY_UNSOUND

ROOTS = ("book_trouble", "photo_trouble", "error", "bad_slip", "join_refused")


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_trouble_on_the_phone_has_a_sentence(language: str) -> None:
    classes = [one for _, one in inspect.getmembers(trouble, inspect.isclass)]
    codes = {one.code for one in classes if issubclass(one, GoodgroundError)} - set(ROOTS)
    assert [code for code in codes if not has(language, f"trouble.{code}")] == []


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    ("area", "keys"),
    [
        ("no_position", get_args(NoFix)),
        ("line_state", get_args(LineState)),
        ("hand_in_standing", get_args(Standing)),
        ("hand_in_heard", (*get_args(Heard), "app_too_old")),
        ("held", (*WHY_UNSOUND, "too_large")),
        ("slip", ("bad_code", "no_address", "bad_address", "plain_http")),
        ("join", ("code_unknown", "code_used", "too_many_tries", "no_answer", "server_error", "other")),
    ],
)
def test_each_state_has_a_sentence(language: str, area: str, keys: tuple[str, ...]) -> None:
    assert [key for key in keys if not has(language, f"{area}.{key}")] == []


def test_a_figure_past_belief_is_told_with_what_is_allowed() -> None:
    error = trouble.Unbelievable("height_in", Decimal(620), Decimal(0), Decimal(180), "in")
    assert say("en", "trouble.unbelievable", **error.facts()) == (
        "620 in can't be right. From 0 to 180 in. Nothing is saved yet."
    )
    assert say("es", "trouble.unbelievable", **error.facts()).startswith("620 in no puede ser. De 0 a 180")


def test_facts_of_a_trouble_name_it_and_hide_nothing() -> None:
    assert trouble.NoSuchEntry(UUID(int=9)).facts() == {"id": UUID(int=9)}
    assert str(trouble.LineGone(4)) == "line_gone: line=4"
