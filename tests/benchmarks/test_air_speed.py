"""Moist air for a year of hours, against a PsychroLib loop in the same run. Seconds are printed only."""

import numpy as np
import psychrolib
import pytest

from mistcalc.physics import air
from tests.benchmarks.timing import best

pytestmark = pytest.mark.benchmark


def test_year_of_moist_air_against_psychrolib():
    """Ratio, wet bulb and enthalpy of 8,760 hours: at least 200 times a loop over PsychroLib's scalars."""
    draws = np.random.default_rng(1)
    t = draws.uniform(5, 42, 8760) + 273.15
    rh = draws.uniform(0.08, 1.0, 8760)
    p = np.full(8760, 95e3)
    hours = list(zip((t - 273.15).tolist(), rh.tolist(), p.tolist(), strict=True))

    def ours():
        w = air.humidity_ratio(t, rh, p)
        return air.wet_bulb(t, w, p), air.enthalpy(t, w)

    def theirs():
        for celsius, humidity, pressure in hours:
            w = psychrolib.GetHumRatioFromRelHum(celsius, humidity, pressure)
            psychrolib.GetTWetBulbFromHumRatio(celsius, w, pressure)
            psychrolib.GetMoistAirEnthalpy(celsius, w)

    slow, fast = best(theirs, 2), best(ours, 20)
    print(f"\nmoist air, 8,760 h: {fast * 1e3:.2f} ms, PsychroLib loop {slow * 1e3:.0f}, x{slow / fast:.0f}")
    assert slow / fast >= 200
