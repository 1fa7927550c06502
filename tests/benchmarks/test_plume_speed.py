"""The plume over many conditions at once, against one at a time in the same run. Seconds are printed only."""

import numpy as np
import pytest

from mistcalc.physics import air, plume
from tests.benchmarks.timing import best

pytestmark = pytest.mark.benchmark


def test_thousand_conditions():
    """1,000 conditions, 8 classes, 60 steps (aim 50 ms): at least 50 times a loop over single conditions."""
    draws = np.random.default_rng(1)
    t = draws.uniform(25, 45, 1000) + 273.15
    w = air.humidity_ratio(t, draws.uniform(0.1, 0.7, 1000), 101325)
    wind = draws.uniform(0, 3, 1000)

    def spray(i):
        return plume.spray_plume(
            t[i], w[i], 101325, wind=wind[i], flow=6.6 / 3.6e6, gauge=70e5, median_diameter=27e-6, spread=2.5,
            water_temperature=303.15, height=3, spacing=0.6096, classes=8,
        )  # fmt: skip

    many = best(lambda: spray(slice(None)), 10)
    one = best(lambda: spray(0), 5)
    at = spray(slice(None))
    fate = best(lambda: at.fate(1.9, 2.0), 5)
    print(f"\nplume x 1,000: {many * 1e3:.0f} ms; one: {one * 1e3:.1f} ms; fate {fate * 1e3:.0f} ms")
    assert 1000 * one / many >= 50
