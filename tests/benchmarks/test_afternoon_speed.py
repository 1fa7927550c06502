"""One hot afternoon with its band, and how the plume's cost grows: ratios in one run."""

from __future__ import annotations

import numpy as np
import pytest

from mistcalc import cooling
from mistcalc.cooling import unknowns
from mistcalc.physics import air, plume
from tests.benchmarks.timing import best
from tests.cooling.test_balance import courtyard, hours

pytestmark = pytest.mark.benchmark


def spray(count, classes=8, steps=60):
    draws = np.random.default_rng(1)
    t = draws.uniform(25, 45, count) + 273.15
    w = air.humidity_ratio(t, draws.uniform(0.1, 0.7, count), 101325)
    wind = draws.uniform(0, 3, count)
    return lambda: plume.spray_plume(
        t, w, 101325, wind=wind, flow=6.6 / 3.6e6, gauge=70e5, median_diameter=27e-6, spread=2.5,
        water_temperature=303.15, height=3, spacing=0.6096, classes=classes, steps=steps,
    )  # fmt: skip


def test_hot_afternoon_with_its_band_costs_few_plumes():
    """Aim: 0.3 s where 1,000 plumes of 8 classes and 60 steps take 50 ms; that is six of them."""
    project, laid, line, year = courtyard()
    noon = hours(year, slice(24 * 190 + 15, 24 * 190 + 16))
    u = unknowns.draws()

    def afternoon():
        cooling.afternoon_cooling(
            project.patios[0], laid, line, project.plumbing, (noon,), project.place.bearing, u
        )

    thousand, whole = best(spray(1000), 7), best(afternoon, 7)
    print(f"\nhot afternoon {whole * 1e3:.0f} ms, 1,000 plumes {thousand * 1e3:.0f}: x{whole / thousand:.1f}")
    assert whole <= 6 * thousand


def test_cost_is_linear_in_conditions_and_classes():
    """Eight times as many cost at most nine times as much: nothing grows faster than the work asked for."""
    few, many = best(spray(500), 5), best(spray(4000), 3)
    slim, stout = best(spray(500, classes=4), 5), best(spray(500, classes=32), 3)
    print(f"\n500 plumes {few * 1e3:.0f} ms, 4,000 {many * 1e3:.0f}")
    print(f"4 classes {slim * 1e3:.0f} ms, 32 {stout * 1e3:.0f}")
    assert many <= 9 * few
    assert stout <= 9 * slim
