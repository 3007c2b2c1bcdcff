"""C factors by the land's named state, and the conditioning index as an idea."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import InputError
from shared.reckoning.erosion import COMPUTATIONS, STATES, conditioning_index, cover_factor


def test_pasture_at_60_pct_cover_loses_0_042_of_what_bare_pasture_does():
    # After Wischmeier & Smith 1978.
    assert cover_factor("pasture", 60.0).c_factor == pytest.approx(0.042)
    assert cover_factor("pasture", 0.0).c_factor == 1.0
    assert cover_factor("pasture", 100.0).c_factor == pytest.approx(0.003)
    assert cover_factor("pasture", 65.0).c_factor == pytest.approx((0.042 + 0.024) / 2)


# Minnesota Stormwater Manual.
@pytest.mark.parametrize(
    ("state", "factor"),
    [
        ("fallow", 1.0),
        ("annual_ryegrass", 0.10),
        ("perennial", 0.05),
        ("sod", 0.01),
        ("straw_one_ton", 0.13),
        ("straw_two_tons", 0.02),
    ],
)
def test_the_state_of_the_land_names_the_factor(state, factor):
    assert cover_factor(state).c_factor == factor


@given(st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_more_cover_never_loses_more_soil(cover, more):
    one = cover_factor("pasture", cover).c_factor
    assert (
        0.003 - 1e-12
        <= cover_factor("pasture", min(100.0, cover + more)).c_factor
        <= one + 1e-12
        <= 1.0 + 1e-12
    )


@pytest.mark.parametrize(("state", "cover"), [("pasture", None), ("sod", 50.0), ("pasture", 101.0)])
def test_cover_belongs_to_pasture_and_pasture_to_its_cover(state, cover):
    with pytest.raises(InputError) as caught:
        cover_factor(state, cover)
    assert caught.value.name == "cover_pct"


def test_every_state_lies_between_none_and_all():
    assert all(0.0 < figure.value <= 1.0 for figure in STATES.values())


def test_the_conditioning_index_is_given_with_how_unsure_it_is():
    # NRCS 2003 via Zobeck 2007: 0.4 OM + 0.4 FO + 0.2 ER, uncertain by 0.2 to 0.3.
    found = conditioning_index(0.6, 0.3, 0.5)
    assert found.index == pytest.approx(0.46)
    assert (found.low, found.high) == (pytest.approx(0.16), pytest.approx(0.76))


def test_the_conditioning_index_is_an_idea_and_not_listed():
    assert [each.name for each in COMPUTATIONS] == ["cover_factor"]
