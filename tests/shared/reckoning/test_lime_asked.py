"""What a laboratory's answer asks for in lime, against the published worked cases."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.reckoning.lime_asked import lime_asked


def test_north_carolinas_printed_case():
    """ncagr.gov, bufftab1: pH 5.0, target 6.0, buffer pH 6.3 (acidity 1.2) asks for 0.75 tons an acre."""
    values = (("pH", 5.0, "pH"), ("buffer pH", 6.3, "pH"))
    asked = lime_asked("Mehlich buffer, North Carolina", values, 6.0)
    assert asked.tons_per_ac == pytest.approx(0.75, abs=0.005)
    assert (asked.how, asked.target) == ("north_carolina", 6.0)


def test_penn_states_line_for_its_higher_target():
    """Penn State Agronomy Guide, section 2: to pH 7.0, acidity x 1,000 lb an acre."""
    asked = lime_asked("Penn State", (("ph", 5.6, ""), ("acidity", 5.2, "meq/100 g")), 6.8)
    assert asked.tons_per_ac * 2000 == pytest.approx(5200)
    assert asked.target == 7.0


def test_the_laboratorys_own_word_goes_before_any_computation():
    values = (("pH", 5.0, "pH"), ("acidity", 5.2, "meq/100 g"), ("Lime requirement", 1.25, "tons/ac"))
    assert lime_asked("Penn State", values).tons_per_ac == 1.25


@pytest.mark.parametrize(
    "values",
    [
        (),
        (("pH", 5.0, "pH"),),
        (("buffer pH", 6.3, "pH"),),
        (("lime", 2.0, "ppm"),),
        (("pH", 99.0, "pH"), ("acidity", 5.0, "meq/100 g")),
    ],
)
def test_an_answer_that_can_not_be_read_asks_for_nothing(values):
    assert lime_asked("Penn State and North Carolina", values) is None


FIGURE = st.floats(0, 60)


@given(ph=st.floats(3, 10), acidity=FIGURE, more=FIGURE, method=st.sampled_from(["Penn State", "NCDA"]))
def test_more_acidity_never_asks_for_less_lime_and_none_asks_for_less_than_nothing(ph, acidity, more, method):
    def tons(figure: float) -> float | None:
        asked = lime_asked(method, (("ph", ph, ""), ("acidity", figure, "")))
        return None if asked is None else asked.tons_per_ac

    less, most = tons(min(acidity, more)), tons(max(acidity, more))
    if less is not None and most is not None:
        assert 0 <= less <= most
