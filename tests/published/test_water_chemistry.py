"""Scale and dust: Langelier and Ryznar, hardness classes, minerals left behind."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import water, water_chemistry
from tests.published.cases import Source

GPM = 3.785411784e-3 / 60
MG = 1e-3  # kg/m3 in a mg/L

INDEX = Source(
    page="langelier",
    subject="Pump and water treatment",
    title="Langelier and Ryznar index",
    cite="Worked example of Carrier's form: pH 7.5, TDS 320, calcium 150, alkalinity 34, 25 degC: -0.7",
    read="page",
    limits="An index of tendency, rough by 0.2; it does not say how much scale forms.",
)
USGS = Source(
    page="hardness-classes",
    subject="Pump and water treatment",
    title="Hardness classes",
    cite="U.S. Geological Survey, Hardness of Water (after Durfor and Becker 1964): 60, 120, 180 mg/L",
    read="page",
)
MINERAL = Source(
    page="minerals",
    subject="Pump and water treatment",
    title="Minerals left behind",
    cite="Worked by hand: flow times dissolved solids",
    read="derived",
)


def test_the_worked_example():
    langelier = water.langelier_index(7.5, 320, 150, 34, 298.15)
    ryznar = water.ryznar_index(7.5, 320, 150, 34, 298.15)
    INDEX.check("Langelier index", langelier, -0.7, "", within=0.05, because="printed to 0.1")
    # the same form worked with four figures: -0.7312 and 8.9625
    INDEX.check(
        "Langelier index, worked further", langelier, -0.7312, "", within=6e-5, because="four figures"
    )
    INDEX.check(
        "Ryznar index, worked further", ryznar, 8.9625, "", within=1.2e-4, because="twice the rounding"
    )


def test_hotter_and_harder_water_scales_more():
    t = np.linspace(278.0, 338.0, 30)
    assert np.all(np.diff(water.langelier_index(7.8, 420, 130, 140, t)) > 0)
    calcium = np.geomspace(1e-3, 1.0, 30)
    assert np.all(np.diff(water_chemistry.saturation_ph(298.15, 0.42, calcium, 0.14)) < 0)
    # at its own saturation pH a water neither scales nor dissolves
    own = water_chemistry.saturation_ph(298.15, 0.42, 0.13, 0.14)
    assert water.langelier_index(own, 420, 130, 140, 298.15) == pytest.approx(0.0, abs=1e-12)
    assert water.ryznar_index(own, 420, 130, 140, 298.15) == pytest.approx(own)


@pytest.mark.parametrize(
    ("milligrams", "told"),
    [
        (0, "soft"),
        (60, "soft"),
        (61, "moderate"),
        (120, "moderate"),
        (121, "hard"),
        (180, "hard"),
        (181, "very hard"),
    ],
)
def test_classes(milligrams, told):
    USGS.same(f"{milligrams} mg/L", water_chemistry.hardness_class(milligrams * MG), told)


def test_minerals():
    # 1 gpm at 1 mg/L leaves 0.2271 g/h; 4 L/min for 6 h at 300 mg/L 432 g
    hour = 3600 * 1e3
    MINERAL.check(
        "1 gpm at 1 mg/L",
        water_chemistry.mineral_rate(GPM, MG) * hour,
        0.2271,
        "g/h",
        within=5e-5,
        because="four figures",
    )
    MINERAL.check(
        "4 L/min, 6 h, 300 mg/L", water_chemistry.mineral_rate(4 / 60000, 300 * MG) * 6 * hour, 432.0, "g",
        rel=1e-9, because="exact",
    )  # fmt: skip


def test_what_is_no_water_is_named():
    for bad in (0.0, -1.0, np.nan):
        with pytest.raises(RangeError):
            water_chemistry.saturation_ph(298.15, bad, 0.1, 0.1)
    with pytest.raises(RangeError):
        water_chemistry.saturation_ph(150.0, 0.3, 0.1, 0.1)
    with pytest.raises(RangeError):
        water_chemistry.hardness_class(-0.1)
