"""Moist air against the ASHRAE Handbook of Fundamentals 2017, chapter 1, and two general-purpose libraries.

Table and example values as quoted in PsychroLib's own tests unless another source stands beside them.
"""

import numpy as np
import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI

from mistcalc.physics import air

psychrolib.SetUnitSystem(psychrolib.SI)
ZERO = 273.15


@pytest.mark.parametrize(
    ("celsius", "kilopascal"),
    [(5, 0.8726), (10, 1.2282), (20, 2.3392), (25, 3.1697), (50, 12.3513), (100, 101.418)],
)
def test_saturation_pressure_of_table_3(celsius, kilopascal):
    # 0.03 %: the table is itself IAPWS-95, the equation Hyland & Wexler 1983.
    assert air.saturation_pressure(celsius + ZERO) == pytest.approx(kilopascal * 1e3, rel=3e-4)


@pytest.mark.parametrize(
    ("celsius", "ratio", "rel"), [(5, 0.005425, 0.005), (25, 0.020173, 0.005), (50, 0.086863, 0.007)]
)
def test_saturated_ratio_of_table_2(celsius, ratio, rel):
    # The table holds real-gas values; ideal-gas equations lie 0.4-0.6 % below them.
    ours = air.saturated_ratio(celsius + ZERO, 101325)
    assert ours == pytest.approx(ratio, rel=rel)
    assert ours < ratio


@pytest.mark.parametrize(("celsius", "kilojoule"), [(10, 2477.21), (20, 2453.55), (25, 2441.71)])
def test_latent_heat_of_table_3(celsius, kilojoule):
    # 0.1 %: constant specific heats stand for the table's curves.
    assert air.latent_heat(celsius + ZERO) == pytest.approx(kilojoule * 1e3, rel=1e-3)


@pytest.mark.parametrize(
    ("metre", "kilopascal"), [(500, 95.461), (1000, 89.875), (2000, 79.495), (4000, 61.640)]
)
def test_standard_pressure_of_table_1(metre, kilopascal):
    assert air.pressure_at_elevation(metre) == pytest.approx(kilopascal * 1e3, abs=1)  # last digit printed


def test_ashrae_example_1():
    """40 degC dry bulb, 20 degC wet bulb, 101.325 kPa. The book reads 0.0065 kg/kg off its chart."""
    t, p = 40 + ZERO, 101325
    ratio = _ratio_from_wet_bulb(t, 20 + ZERO, p)
    assert ratio == pytest.approx(0.0065, abs=1.5e-4)  # chart reading; the equations give 0.006401
    assert air.enthalpy(t, ratio) == pytest.approx(56.7e3, abs=100)  # the last printed digit
    assert (1 + ratio) / air.density(t, ratio, p) == pytest.approx(0.896, rel=5e-3)  # chart reading
    assert air.relative_humidity(t, ratio, p) == pytest.approx(0.14, abs=0.01)  # chart reading


def test_ratio_from_wet_bulb_at_95461_pa():
    ratio = _ratio_from_wet_bulb(30 + ZERO, 25 + ZERO, 95461)
    assert ratio == pytest.approx(0.0192281, rel=3e-4)  # seven printed digits of another constant set


def test_cengel_and_boles_14_91():
    """8th ed. problem 14-91: 40 degC, 25 %, 95 kPa. The book cools at constant enthalpy: 23.1 degC.

    The thermodynamic wet bulb is 23.32 degC; CoolProp says 23.31 (real gas: hence 0.03 K).
    """
    ratio = air.humidity_ratio(40 + ZERO, 0.25, 95e3)
    assert air.wet_bulb(40 + ZERO, ratio, 95e3) == pytest.approx(23.32 + ZERO, abs=0.03)
    # And the book's path, told apart from ours: dh = 0 with the water's own heat left out.
    h = air.enthalpy(40 + ZERO, ratio)
    assert air.enthalpy(23.15 + ZERO, air.saturated_ratio(23.15 + ZERO, 95e3)) == pytest.approx(h, rel=2e-3)


def test_closure_arithmetic_of_misting():
    """Common arithmetic, no source: 1 g/kg evaporated is 2.44 K (2453.5 / 1.006); 5 %: constants."""
    t, p = 35 + ZERO, 101325
    before = air.humidity_ratio(t, 0.2, p)
    wet = air.wet_bulb(t, before, p)
    after = before + 1e-3
    h = air.enthalpy(t, before) + 1e-3 * air.water_enthalpy(wet)
    assert t - air.temperature(h, after) == pytest.approx(2.44, rel=0.05)


def _ratio_from_wet_bulb(t, wet, p):
    """The ratio whose wet bulb is `wet`, by bisection on our own wet_bulb."""
    low, high = 0.0, float(air.saturated_ratio(wet, p))
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if air.wet_bulb(t, middle, p) < wet else (low, middle)
    return low


GRID_T = np.linspace(5, 55, 11)
GRID_RH = np.array([0.01, 0.05, 0.15, 0.3, 0.5, 0.7, 0.9, 0.99, 1.0])
GRID_P = np.array([60e3, 75e3, 88e3, 101325.0, 108e3])


def test_wet_bulb_ratio_enthalpy_density_dew_point_against_psychrolib():
    """The same equations by other hands: the wet bulb within PsychroLib's own bisection step, 0.5 mK and
    a little, where it lies above 0.7 degC (below, water and ice both have an answer); the rest to 1e-9,
    save the dew point, which PsychroLib iterates to 1 mK."""
    t, rh, p = np.meshgrid(GRID_T, GRID_RH, GRID_P, indexing="ij")
    w = air.humidity_ratio(t + ZERO, rh, p)
    wet, dew = air.wet_bulb(t + ZERO, w, p), air.dew_point(w, p)
    h, rho = air.enthalpy(t + ZERO, w), air.density(t + ZERO, w, p)
    compared = 0
    for i in np.ndindex(t.shape):
        here = (t[i], float(w[i]), p[i])
        assert w[i] == pytest.approx(psychrolib.GetHumRatioFromRelHum(t[i], rh[i], p[i]), rel=1e-9)
        assert h[i] == pytest.approx(psychrolib.GetMoistAirEnthalpy(t[i], w[i]), rel=1e-9)
        assert rho[i] == pytest.approx(psychrolib.GetMoistAirDensity(*here), rel=1e-9)
        assert dew[i] == pytest.approx(psychrolib.GetTDewPointFromHumRatio(*here) + ZERO, abs=1e-3)
        if wet[i] > 0.7 + ZERO:
            theirs = t[i] if rh[i] == 1 else psychrolib.GetTWetBulbFromHumRatio(*here)
            assert wet[i] == pytest.approx(theirs + ZERO, abs=1e-3)
            compared += 1
    assert compared > 400


def test_against_coolprop_real_gas():
    """RP-1485 real gas as CoolProp has it: ratio 0.65 %, enthalpy 1.35 kJ/kg, wet bulb 0.03 K."""
    for celsius in (20, 35, 50):
        for rh in (0.05, 0.3, 0.6, 0.9):
            for p in (75e3, 101e3):
                t = celsius + ZERO
                state = ("T", t, "R", rh, "P", p)
                w = air.humidity_ratio(t, rh, p)
                assert w == pytest.approx(HAPropsSI("W", *state), rel=0.0065)
                assert air.enthalpy(t, w) == pytest.approx(HAPropsSI("H", *state), abs=1350)
                assert air.wet_bulb(t, w, p) == pytest.approx(HAPropsSI("B", *state), abs=0.03)


def test_ice_branch_against_psychrolib():
    """Below 0 degC the bulb carries ice, as PsychroLib has it there; RangeError never."""
    for celsius in (-38.0, -20.0, -5.0):
        for rh in (0.1, 0.5, 0.95):
            w = air.humidity_ratio(celsius + ZERO, rh, 95e3)
            theirs = psychrolib.GetTWetBulbFromHumRatio(celsius, float(w), 95e3)
            assert air.wet_bulb(celsius + ZERO, w, 95e3) == pytest.approx(theirs + ZERO, abs=1e-3)


def test_state_card_agrees_with_the_kernel():
    card = air.state_card(38 + ZERO, 0.2, 88e3)
    assert abs(card.wet_bulb_difference) < 1e-3  # their bisection step
    assert card.ratio == pytest.approx(air.humidity_ratio(38 + ZERO, 0.2, 88e3), rel=1e-9)
    assert air.state_card(38 + ZERO, 0.0, 88e3).dew_point is None
    assert air.state_card(30 + ZERO, 1.0, 88e3).wet_bulb == 30 + ZERO
