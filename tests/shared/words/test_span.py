"""Figures that lie outside the span in which they can be believed, wherever in a body they stand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from shared.words.bodies.gate import Load
from shared.words.bodies.reading import Correction
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover, Firmness, Weeds
from shared.words.bodies.work import Calibrate
from shared.words.span import outside


def load(**told) -> Load:
    given = {
        "ticket": "A-1",
        "town": None,
        "beds": ((Decimal(20), Decimal(100)),),
        "packing": "loose",
        "bags": "none",
        "checked": "glance",
        "trash": "none",
        "trash_items": (),
        "trash_basis": "seen",
        "outcome": "taken",
        "to": (),
    }
    return Load(**(given | told))


def found(body):
    return [(one.key, one.value) for one in outside(body)]


@pytest.mark.parametrize(
    ("height", "wrong"), [("180", []), ("180.1", [("height_in", Decimal("180.1"))]), ("0", [])]
)
def test_both_ends_of_a_span_can_be_believed(height, wrong):
    assert found(Cover("rye", Decimal(height), "none")) == wrong


def test_a_figure_in_a_list_of_pairs_is_found_by_the_key_of_the_list():
    assert found(load(beds=((Decimal(20), Decimal(100)), (Decimal(200), Decimal(151))))) == [
        ("beds", Decimal(200)),
        ("beds", Decimal(151)),
    ]
    profile = ((Decimal(3), Decimal(200)), (Decimal(60), Decimal(1200)))
    body = Firmness("half_inch", "ready", "body", profile=profile)
    assert found(body) == [("profile", Decimal(60)), ("profile", Decimal(1200))]


def test_a_list_of_figures_and_a_count_are_looked_at():
    assert found(Calibrate("drill", "7", (Decimal(10), Decimal(3000)), Decimal(50))) == [
        ("runs", Decimal(3000))
    ]
    weeds = Weeds("none", counts=(("pigweed", 6000),), frame_m2=Decimal("0.25"))
    assert found(weeds) == [("counts", 6000)]


def test_a_replacement_body_is_looked_into():
    assert found(Correction("cover", Cover("rye", Decimal(620), "none"), "misread")) == [
        ("height_in", Decimal(620))
    ]


def test_what_has_no_figures_is_never_outside():
    assert found(Note("wet")) == []
    assert found(load()) == []
