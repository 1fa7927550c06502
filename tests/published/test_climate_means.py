"""The shipped typical years against what NREL and ASHRAE publish of the same stations."""

from __future__ import annotations

import numpy as np
import pytest

from mistcalc.physics import air
from tests.published.cases import Source

NREL = Source(
    page="nrel-tmy3-july",
    subject="Climate",
    title="NREL, July afternoons of three stations",
    cite="July means at the hour ending 15:00, local standard time, of the NREL TMY3 station files (Wilcox "
    "& Marion 2008, "
    "NREL/TP-581-43156)",
    read="data",
    limits="The same files, read by other hands: tests our reader, its clock and its humidity.",
)
ASHRAE = Source(
    page="ashrae-design-conditions",
    subject="Climate",
    title="ASHRAE, hottest hours of three stations",
    cite="ASHRAE Handbook of Fundamentals 2009, climatic design information: 0.4 % cooling design dry bulb "
    "and mean "
    "coincident wet bulb",
    read="page",
    limits="ASHRAE counts some 25 real years; a typical year is put together from typical months and leaves "
    "out both "
    "ends.",
)
JULY_AT_15 = [  # dry bulb degC, dew point degC, relative humidity %, wind m/s
    ("el-paso", 32.6, 13.1, 34, 4.0),
    ("tucson", 37.3, None, 24, 4.4),
    ("palm-springs", 41.3, None, 21, 4.9),
]
DESIGN = [("el-paso", 38.1, 18.1), ("tucson", 41.1, 19.0), ("palm-springs", 44.0, 22.5)]
JULY = slice(181 * 24, 212 * 24)


@pytest.mark.parametrize("name, dry_bulb, dew_point, relative_humidity, wind", JULY_AT_15)
def test_july_means_at_the_hour_ending_15(name, dry_bulb, dew_point, relative_humidity, wind, sample):
    weather = sample(name)
    rows = np.arange(8760)[JULY][14::24]
    assert len(rows) == 31
    t, ratio, pressure = weather.temperature[rows], weather.ratio[rows], weather.air_pressure[rows]
    half = "half a unit in the last printed digit"
    NREL.check(f"{name}, dry bulb", t.mean() - 273.15, dry_bulb, "degC", within=0.05, because=half)
    NREL.check(f"{name}, wind", weather.wind[rows].mean(), wind, "m/s", within=0.05, because=half)
    humidity = 100 * air.relative_humidity(t, ratio, pressure).mean()
    because = "a mean of rounded percents"
    NREL.check(f"{name}, relative humidity", humidity, relative_humidity, "%", within=1, because=because)
    if dew_point is not None:
        dew = air.dew_point(ratio, pressure).mean() - 273.15
        NREL.check(f"{name}, dew point", dew, dew_point, "degC", within=0.05, because=half)


@pytest.mark.parametrize("name, dry_bulb, wet_bulb", DESIGN)
def test_hottest_hours_against_ashrae_design_conditions(name, dry_bulb, wet_bulb, sample):
    """35 hours a year (0.4 %) are hotter than the design dry bulb."""
    weather = sample(name)
    hot = np.quantile(weather.temperature, 1 - 0.004)
    because = "real years against a typical one"
    ASHRAE.check(f"{name}, dry bulb", hot - 273.15, dry_bulb, "degC", within=1.5, because=because)
    near = np.abs(weather.temperature - hot) <= 1.0
    wet = air.wet_bulb(weather.temperature[near], weather.ratio[near], weather.air_pressure[near])
    because = "a mean over few hours of changing air masses"
    ASHRAE.check(f"{name}, wet bulb", wet.mean() - 273.15, wet_bulb, "degC", within=2.0, because=because)
