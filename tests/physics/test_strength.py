"""Rated pressure of tube: what heat does to plastic, no step between wall formulas, and what is refused."""

import numpy as np
import pytest

from mistcalc.errors import MistcalcError, RangeError
from mistcalc.physics import strength

INCH = 0.0254


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


def test_plastic_loses_strength_with_heat_and_is_worth_nothing_beyond_its_table():
    for material in ("pvc", "pex", "nylon"):
        t = np.array([kelvin(f) for f in (60, 75, 100, 130, 250)])
        rated = strength.rated_gauge(material, 0.375 * INCH, 0.05 * INCH, t)
        assert np.all(np.diff(rated[:-1]) <= 0) and rated[-1] == 0.0
        assert rated[0] > rated[3] > 0


def test_thick_wall_meets_thin_wall_without_a_step():
    # B31.3 changes Y at t = D/6; d/(D+d) equals 0.4 there
    wall = np.linspace(0.05, 0.09, 401) * INCH
    rated = strength.rated_gauge("stainless 304", 0.375 * INCH, wall, 300.0)
    assert np.all(np.diff(rated) > 0) and np.max(np.diff(rated, 2)) < 1e-2 * np.max(np.diff(rated))


def test_bad_tube_is_named():
    with pytest.raises(MistcalcError, match="unknown-material"):
        strength.rated_gauge("cheese", 0.01, 0.001, 300.0)
    with pytest.raises(MistcalcError, match="unknown-temper"):
        strength.rated_gauge("copper", 0.01, 0.001, 300.0, "half baked")
    for wall in (0.0, -0.001, 0.005, np.nan):
        with pytest.raises(MistcalcError, match="tube-size"):
            strength.rated_gauge("copper", 0.01, wall, 300.0)
    with pytest.raises(RangeError):
        strength.rated_gauge("copper", 0.01, 0.001, kelvin(300))
