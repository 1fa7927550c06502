"""The shipped typical years against what NREL and ASHRAE publish of the same stations.

Sources:
  July means at the hour ending 15:00, local standard time, of the NREL TMY3 station files themselves
  (Wilcox & Marion 2008, NREL/TP-581-43156): dry bulb degC, dew point degC, relative humidity %, wind m/s.
  ASHRAE Handbook of Fundamentals 2009, climatic design information: 0.4 % cooling design dry bulb and mean
  coincident wet bulb.
"""

from __future__ import annotations

import numpy as np
import pytest

from mistcalc.physics import air

JULY_AT_15 = [
    ("el-paso", 32.6, 13.1, 34, 4.0),
    ("tucson", 37.3, None, 24, 4.4),
    ("palm-springs", 41.3, None, 21, 4.9),
]
DESIGN = [("el-paso", 38.1, 18.1), ("tucson", 41.1, 19.0), ("palm-springs", 44.0, 22.5)]
JULY = slice(181 * 24, 212 * 24)


@pytest.mark.parametrize("name, dry_bulb, dew_point, relative_humidity, wind", JULY_AT_15)
def test_july_means_at_the_hour_ending_15(name, dry_bulb, dew_point, relative_humidity, wind, sample):
    """Half a unit in the last printed digit; humidity 1 point, as it is a mean of rounded percents."""
    weather = sample(name)
    rows = np.arange(8760)[JULY][14::24]
    assert len(rows) == 31
    t, ratio, pressure = weather.temperature[rows], weather.ratio[rows], weather.air_pressure[rows]
    assert t.mean() - 273.15 == pytest.approx(dry_bulb, abs=0.05)
    assert weather.wind[rows].mean() == pytest.approx(wind, abs=0.05)
    assert 100 * air.relative_humidity(t, ratio, pressure).mean() == pytest.approx(relative_humidity, abs=1.0)
    if dew_point is not None:
        assert air.dew_point(ratio, pressure).mean() - 273.15 == pytest.approx(dew_point, abs=0.05)


@pytest.mark.parametrize("name, dry_bulb, wet_bulb", DESIGN)
def test_hottest_hours_against_ashrae_design_conditions(name, dry_bulb, wet_bulb, sample):
    """35 hours a year (0.4 %) are hotter than the design dry bulb.

    ASHRAE counts some 25 real years, a typical year is put together from typical months and leaves out both
    ends: 1.5 K on the dry bulb, 2.0 K on the wet bulb, which is a mean over few hours of changing air masses.
    """
    weather = sample(name)
    hot = np.quantile(weather.temperature, 1 - 0.004)
    assert hot - 273.15 == pytest.approx(dry_bulb, abs=1.5)
    near = np.abs(weather.temperature - hot) <= 1.0
    wet = air.wet_bulb(weather.temperature[near], weather.ratio[near], weather.air_pressure[near])
    assert wet.mean() - 273.15 == pytest.approx(wet_bulb, abs=2.0)
