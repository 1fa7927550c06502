"""Moist air against the ASHRAE Handbook of Fundamentals 2017, chapter 1."""

import pytest

from mistcalc.physics import air
from tests.published.cases import Source

ASHRAE = Source(
    page="ashrae-moist-air",
    subject="Moist air",
    title="ASHRAE Fundamentals, psychrometrics",
    cite="ASHRAE Handbook of Fundamentals 2017, chapter 1, tables 1-3 and example 1, as quoted in "
    "PsychroLib's tests",
    read="page",
    limits="Ideal-gas equations: saturated humidity ratio lies 0.4-0.6 % below the table's real-gas values.",
)
ZERO = 273.15


@pytest.mark.parametrize(
    ("celsius", "kilopascal"),
    [(5, 0.8726), (10, 1.2282), (20, 2.3392), (25, 3.1697), (50, 12.3513), (100, 101.418)],
)
def test_saturation_pressure_of_table_3(celsius, kilopascal):
    ours = air.saturation_pressure(celsius + ZERO) / 1e3
    because = "the table is IAPWS-95, the equation Hyland & Wexler 1983"
    ASHRAE.check(f"saturation pressure, {celsius} degC", ours, kilopascal, "kPa", rel=3e-4, because=because)


@pytest.mark.parametrize(
    ("celsius", "ratio", "rel"), [(5, 0.005425, 0.005), (25, 0.020173, 0.005), (50, 0.086863, 0.007)]
)
def test_saturated_ratio_of_table_2(celsius, ratio, rel):
    ours = air.saturated_ratio(celsius + ZERO, 101325)
    because = "real-gas table; an ideal gas lies 0.4-0.6 % below it"
    ASHRAE.check(f"saturated ratio, {celsius} degC", ours, ratio, "kg/kg", rel=rel, because=because)
    assert ours < ratio


@pytest.mark.parametrize(("celsius", "kilojoule"), [(10, 2477.21), (20, 2453.55), (25, 2441.71)])
def test_latent_heat_of_table_3(celsius, kilojoule):
    ours = air.latent_heat(celsius + ZERO) / 1e3
    because = "constant specific heats stand for the table's curves"
    ASHRAE.check(f"latent heat, {celsius} degC", ours, kilojoule, "kJ/kg", rel=1e-3, because=because)


@pytest.mark.parametrize(
    ("metre", "kilopascal"), [(500, 95.461), (1000, 89.875), (2000, 79.495), (4000, 61.640)]
)
def test_standard_pressure_of_table_1(metre, kilopascal):
    ours = air.pressure_at_elevation(metre) / 1e3
    because = "last digit printed"
    ASHRAE.check(f"standard pressure, {metre} m", ours, kilopascal, "kPa", within=1e-3, because=because)


def test_example_1():
    """40 degC dry bulb, 20 degC wet bulb, 101.325 kPa; the book reads off its chart."""
    t, p = 40 + ZERO, 101325
    ratio = ratio_of_wet_bulb(t, 20 + ZERO, p)
    chart = "the book read its chart"
    ASHRAE.check("example 1, humidity ratio", ratio, 0.0065, "kg/kg", within=1.5e-4, because=chart)
    enthalpy = air.enthalpy(t, ratio) / 1e3
    ASHRAE.check("example 1, enthalpy", enthalpy, 56.7, "kJ/kg", within=0.1, because="last digit printed")
    volume = (1 + ratio) / air.density(t, ratio, p)
    ASHRAE.check("example 1, volume", volume, 0.896, "m³/kg", rel=5e-3, because=chart)
    humidity = 100 * air.relative_humidity(t, ratio, p)
    ASHRAE.check("example 1, relative humidity", humidity, 14, "%", within=1, because=chart)


def test_ratio_from_wet_bulb_at_95461_pa():
    ours = ratio_of_wet_bulb(30 + ZERO, 25 + ZERO, 95461)
    because = "printed with another set of constants"
    what = "ratio, 30 degC, wet bulb 25 degC, 95,461 Pa"
    ASHRAE.check(what, ours, 0.0192281, "kg/kg", rel=3e-4, because=because)


def ratio_of_wet_bulb(t, wet, p):
    """The ratio whose wet bulb is `wet`, by bisection on our own wet_bulb."""
    low, high = 0.0, float(air.saturated_ratio(wet, p))
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if air.wet_bulb(t, middle, p) < wet else (low, middle)
    return low
