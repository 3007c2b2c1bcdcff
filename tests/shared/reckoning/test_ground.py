"""Ground fitness and frost."""

from __future__ import annotations

import math
from itertools import product

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import InputError
from shared.languages import LANGUAGES, has
from shared.reckoning.ground import GROUND_FITNESS, frost_depth, frost_index, ground_fitness
from shared.reckoning.table import RECKONER

UNITS = pint.UnitRegistry()
STATES = GROUND_FITNESS[0].choices
THREADS = (None, *GROUND_FITNESS[1].choices)
SEVERITY = {"fit": 0, "light": 1, "stay_off": 2}


@pytest.mark.parametrize(
    ("given_", "verdict", "why"),
    [
        # USFS Hiawatha National Forest: 6 in of frost or 12 in of packed snow, or a mix.
        ({"state": "frozen", "frost_in": 6.0}, "fit", "frozen_hard"),
        ({"state": "frozen", "frost_in": 5.9}, "stay_off", "frost_too_thin"),
        ({"state": "frozen"}, "stay_off", "frost_too_thin"),
        ({"state": "snow", "snow_in": 12.0, "snow_packed": True}, "fit", "frozen_hard"),
        ({"state": "snow", "snow_in": 11.9, "snow_packed": True}, "stay_off", "snow_hides_ground"),
        ({"state": "snow", "snow_in": 40.0, "snow_packed": False}, "stay_off", "snow_hides_ground"),
        ({"state": "snow", "snow_in": 6.0, "snow_packed": True, "frost_in": 3.0}, "fit", "frozen_hard"),
        (
            {"state": "snow", "snow_in": 6.0, "snow_packed": True, "frost_in": 2.9},
            "stay_off",
            "snow_hides_ground",
        ),
        # The thread test by the plastic limit, graded as a machinery maker prints it; Ohio State: never
        # drive wetter than that.
        ({"state": "moist", "thread": "crumbles"}, "fit", "thread_crumbles"),
        ({"state": "moist", "thread": "edge"}, "light", "thread_edge"),
        ({"state": "moist", "thread": "rolls"}, "stay_off", "thread_rolls"),
        ({"state": "moist", "thread": "smears"}, "stay_off", "thread_smears"),
        ({"state": "moist"}, "light", "moist_no_thread"),
        ({"state": "dry"}, "fit", "dry"),
        ({"state": "dry", "thread": "rolls"}, "stay_off", "thread_rolls"),
        ({"state": "wet", "thread": "crumbles"}, "stay_off", "wet"),
        ({"state": "standing_water"}, "stay_off", "standing_water"),
        # Penn State: under 10 tons an axle; over 30 psi is too high for fields.
        ({"state": "dry", "axle_tons": 9.9}, "fit", "dry"),
        ({"state": "dry", "axle_tons": 10.0}, "light", "axle_heavy"),
        ({"state": "dry", "tire_psi": 30.0}, "fit", "dry"),
        ({"state": "dry", "tire_psi": 30.1}, "light", "tire_hard"),
    ],
)
def test_the_word_on_the_ground_and_why(given_, verdict, why):
    found = ground_fitness(**{"axle_tons": 5.0, **given_})
    assert (found.verdict, found.why) == (verdict, why)


def test_every_ground_has_a_word_and_a_reason_in_both_languages():
    for state, thread, frost, snow, packed, axle, tire in product(
        STATES, THREADS, (None, 0.0, 8.0), (None, 20.0), (None, True, False), (5.0, 12.0), (None, 40.0)
    ):
        found = ground_fitness(state, thread, frost, snow, packed, axle, tire)
        assert found.verdict in SEVERITY
        assert all(has(language, f"reckoner.why.{found.why}") for language in LANGUAGES)


@given(
    st.sampled_from(STATES),
    st.sampled_from(THREADS),
    st.floats(0.0, 20.0),
    st.floats(0.0, 30.0),
    st.booleans(),
    st.floats(0.0, 30.0),
    st.floats(0.0, 30.0),
)
def test_a_heavier_axle_never_makes_ground_fitter_and_deeper_frost_never_less_fit(
    state, thread, frost, snow, packed, axle, more
):
    here = SEVERITY[ground_fitness(state, thread, frost, snow, packed, axle).verdict]
    assert SEVERITY[ground_fitness(state, thread, frost, snow, packed, axle + more).verdict] >= here
    assert SEVERITY[ground_fitness(state, thread, frost + more, snow, packed, axle).verdict] <= here


def test_no_word_on_the_ground_is_safe():
    from shared.languages import sentences

    for language, word in (("en", "safe"), ("es", "segur")):
        told = [text.lower() for key, text in sentences(language).items() if key.startswith("reckoner.why")]
        assert told
        assert not any(word in text for text in told)


def test_the_running_frost_sum_is_taken_back_by_thaw():
    # Worked in Celsius: means -3, -5, 1, -2, -8, 4, -1 give 3, 8, 7, 9, 17, 13, 14 where the plain sum of
    # freezing days is 19 (TRB 08-3103: summing every cycle overstates the frost).
    means_f = [32 + 1.8 * c for c in (-3, -5, 1, -2, -8, 4, -1)]
    found = frost_index(means_f).index_f_days
    assert [each / 1.8 for each in found] == pytest.approx([3, 8, 7, 9, 17, 13, 14])


@given(st.lists(st.floats(-40.0, 80.0), min_size=1, max_size=120))
def test_a_frost_sum_is_never_below_nought_nor_above_the_plain_sum(means):
    found = frost_index(means).index_f_days
    assert len(found) == len(means)
    assert min(found) >= 0.0
    assert found[-1] <= math.fsum(max(0.0, 32.0 - each) for each in means) + 1e-6


@given(st.lists(st.floats(-40.0, 80.0), min_size=2, max_size=60), st.integers(1, 59))
def test_a_frost_sum_goes_on_from_where_it_stood(means, cut):
    cut = min(cut, len(means) - 1)
    whole = frost_index(means).index_f_days
    assert whole[:cut] == frost_index(means[:cut]).index_f_days


@pytest.mark.parametrize(("n", "depth"), [(1.0, 16.0), (0.5, 11.31)])
def test_stefans_worked_silt(n, depth):
    # Silt of 100 lb/ft3 at 15 % water, k frozen 0.8 (pavementinteractive); latent heat 144 BTU/lb (UFC
    # 3-130-05): L 2,160.
    assert frost_depth(100, 0.8, 100, 15, n).depth_in == pytest.approx(depth, abs=0.01)


def test_stefan_in_feet_agrees_with_stefan_in_metres():
    # SI: X = sqrt(2 k 86400 F / (L rho w)): k 1.5 W/mK, 50 C days, w 0.25, 1,600 kg/m3, L 334 kJ/kg: 0.3115 m.
    metres = math.sqrt(2 * 1.5 * 86_400 * 50 / (334_000 * 0.25 * 1_600))
    assert metres == pytest.approx(0.3115, abs=1e-3)
    k_btu = (1.5 * UNITS.watt / UNITS.meter / UNITS.delta_degC).to(
        UNITS.Btu / UNITS.hour / UNITS.foot / UNITS.delta_degF
    )
    density = (1_600 * UNITS.kilogram / UNITS.meter**3).to(UNITS.pound / UNITS.foot**3)
    feet = frost_depth(90, k_btu.magnitude, density.magnitude, 25, 1.0).depth_in / 12
    assert feet * 0.3048 == pytest.approx(metres, rel=0.005)


@given(st.floats(0.0, 5_000.0), st.floats(0.1, 3.0), st.floats(50.0, 150.0), st.floats(2.0, 80.0))
def test_four_times_the_frost_goes_twice_as_deep(index, k, density, water):
    one, four = (frost_depth(index * times, k, density, water, 1.0).depth_in for times in (1, 4))
    assert four == pytest.approx(2 * one, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("name", ["frost_index", "frost_depth"])
def test_a_frost_formula_says_go_and_probe(name):
    assert RECKONER[name].caution == "reckoner.caution.go_and_probe"


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: ground_fitness("muddy"), "state"),
        (lambda: ground_fitness("dry", "breaks"), "thread"),
        (lambda: ground_fitness("frozen", frost_in=-1.0), "frost_in"),
        (lambda: ground_fitness("snow", snow_packed="yes"), "snow_packed"),
        (lambda: frost_index([]), "means_f"),
        (lambda: frost_index([math.nan]), "means_f"),
        (lambda: frost_depth(100, 0.8, 100, 0, 1), "water_pct"),
    ],
)
def test_a_reading_that_can_not_be_is_refused_by_name(call, name):
    with pytest.raises(InputError) as refused:
        call()
    assert refused.value.name == name
