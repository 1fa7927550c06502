"""Moist air: inverses, limits, exact saturation, scalar and array alike, honest refusals."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc.errors import RangeError
from mistcalc.physics import air

ZERO = 273.15
temperatures = st.floats(-40 + ZERO, 60 + ZERO)
humidities = st.floats(0, 1)
pressures = st.floats(60e3, 108e3)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(temperatures, humidities, pressures)
def test_inverses_and_order(t, rh, p):
    w = air.humidity_ratio(t, rh, p)
    assert air.relative_humidity(t, w, p) == pytest.approx(rh, abs=1e-12)
    assert air.temperature(air.enthalpy(t, w), w) == pytest.approx(t, abs=1e-9)
    if air.vapour_pressure(w, p) > 1.0:
        dew = air.dew_point(w, p)
        assert air.saturation_pressure(dew) == pytest.approx(air.vapour_pressure(w, p), rel=1e-6)
        assert dew <= t + 1e-6
        if dew > ZERO:
            assert dew - 1e-4 <= air.wet_bulb(t, w, p) <= t + 1e-4


@settings(max_examples=300, deadline=None, derandomize=True)
@given(temperatures, humidities, pressures)
def test_wet_bulb_by_its_definition(t, rh, p):
    """Feed water (or ice) at the wet bulb until saturated: nothing is lost. What is missing, put in kelvin
    by its own slope, must be below the 0.1 mK the docstring promises."""
    w = air.humidity_ratio(t, rh, p)
    wet = air.wet_bulb(t, w, p)
    surface = "water" if wet >= ZERO else "ice"

    def missing(at):
        fed = air.saturated_ratio(at, p, surface) - w
        feed = air.water_enthalpy(at) if surface == "water" else -329e3 + 2100 * (at - ZERO)
        return air.enthalpy(at, w + fed) - air.enthalpy(t, w) - fed * feed

    slope = (missing(wet + 0.01) - missing(wet - 0.01)) / 0.02
    assert abs(missing(wet)) / slope < 1e-4


def test_saturated_air_is_its_own_wet_bulb():
    t = np.linspace(0.02, 55, 200) + ZERO
    assert np.abs(air.wet_bulb(t, air.saturated_ratio(t, 101325), 101325) - t).max() < 1e-4


def test_the_two_branches_near_freezing():
    """Between them lies a band in which both a wet and an iced bulb have an answer; water is taken."""
    t, p = 6 + ZERO, 101325
    w = air.humidity_ratio(t, 0.2, p)
    water, ice = (air.wet_bulb(t, w, p, surface) for surface in ("water", "ice"))
    assert ice < water < ZERO
    assert air.wet_bulb(t, w, p) == ice
    t = 6.9 + ZERO
    w = air.humidity_ratio(t, 0.2, p)
    water, ice = (air.wet_bulb(t, w, p, surface) for surface in ("water", "ice"))
    assert ice < ZERO < water
    assert air.wet_bulb(t, w, p) == water


def test_steps_enough():
    """Three Halley steps against thirty, over the whole stated range: below 0.1 mK."""
    t, rh, p = np.meshgrid(np.linspace(-40, 60, 101) + ZERO, np.linspace(0, 1, 41), [60e3, 108e3])
    w = air.humidity_ratio(t, rh, p)
    h = air.enthalpy(t, w)
    error = air.saturated_equilibrium_temperature(h, w, p) - air.saturated_equilibrium_temperature(
        h, w, p, steps=30
    )
    assert np.abs(error).max() < 1e-4


def test_scalar_and_array_agree():
    t, rh, p = np.array([265.0, 280.0, 300.0, 318.0]), np.array([0.9, 0.0, 0.5, 0.1]), 90e3
    w = air.humidity_ratio(t, rh, p)
    for i in range(4):
        wi = air.humidity_ratio(t[i], rh[i], p)
        assert wi == pytest.approx(w[i], rel=1e-13)
        assert air.wet_bulb(t[i], wi, p) == pytest.approx(air.wet_bulb(t, w, p)[i], abs=1e-9)
        assert air.density(t[i], wi, p) == pytest.approx(air.density(t, w, p)[i], rel=1e-13)
    assert air.wet_bulb(t[:, None], w, np.full((2, 1, 1), p)).shape == (2, 4, 4)


@pytest.mark.parametrize(
    "call",
    [
        lambda: air.humidity_ratio(300, 1.01, 101325),
        lambda: air.humidity_ratio(300, -0.01, 101325),
        lambda: air.humidity_ratio(float("nan"), 0.5, 101325),
        lambda: air.humidity_ratio(300, 0.5, -1),
        lambda: air.humidity_ratio(372, 1.0, 60e3),
        lambda: air.wet_bulb([300, np.inf], 0.01, 101325),
        lambda: air.wet_bulb(300, -1e-3, 101325),
        lambda: air.dew_point(0.0, 101325),
        lambda: air.moist_air_state(27.0, 0.5, 101325),
        lambda: air.pressure_at_elevation(60e3),
    ],
)
def test_no_answer_is_refused(call):
    with pytest.raises(RangeError):
        call()
