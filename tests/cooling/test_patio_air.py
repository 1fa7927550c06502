"""The well-mixed patio: conservation, limits, and the fixed point with whatever feeds it."""

import numpy as np
import pytest

from mistcalc.cooling.balance_inputs import AirChange
from mistcalc.cooling.patio_air import Outdoors, fixed_point, mixed
from mistcalc.physics import air

P = 101325.0


def outdoors(celsius=40.0, rh=0.15, shape=(1, 1)):
    t = np.full(shape, 273.15 + celsius)
    p = np.full(shape, P)
    return Outdoors(t, air.humidity_ratio(t, rh, p), p)


def blown(wind):
    """Air change of a wind [m3/s] that knows nothing of the cold."""
    return lambda dt: (np.full_like(dt, wind), np.ones_like(dt))


def stack(dt):
    """3 m openings of 42 m2: the handbook's two-way flow, typed out here as a second writing of it."""
    return (0.40 + 0.0045 * dt) * 21.0 * np.sqrt(9.80665 * 3.0 * dt / 313.15)


def both(wind):
    """The larger of wind and stack, without a corner."""

    def change(dt):
        flow = np.maximum((wind**4 + stack(dt) ** 4) ** 0.25, 1e-12)
        return flow, (wind / flow) ** 4

    return change


@pytest.mark.parametrize("wind", [0.0, 0.5, 4.0, 30.0])
@pytest.mark.parametrize("captured", [0.0, 1e-4, 0.012])
def test_water_and_heat_add_up(wind, captured):
    out = outdoors()
    supply = air.water_enthalpy(303.15)
    x = np.full((1, 1), captured)
    patio = mixed(out, x, supply, both(wind))
    dry = out.dry_density * patio.flow
    gained = dry * (patio.ratio - out.ratio)
    assert gained == pytest.approx(x, rel=1e-9, abs=1e-15)
    heat = dry * (air.enthalpy(patio.temperature, patio.ratio) - air.enthalpy(out.temperature, out.ratio))
    assert heat == pytest.approx(x * supply, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("wind", [0.0, 0.5, 4.0, 30.0])
def test_flow_agrees_with_the_temperature_it_makes(wind):
    out, x = outdoors(), np.full((1, 1), 0.012)
    patio = mixed(out, x, air.water_enthalpy(303.15), both(wind))
    warm = air.virtual_temperature(out.temperature, out.ratio)
    cold = air.virtual_temperature(patio.temperature, patio.ratio)
    assert patio.flow == pytest.approx(both(wind)(warm - cold)[0], rel=1e-4)


def test_no_water_is_outdoors():
    out = outdoors()
    patio = mixed(out, np.zeros((1, 1)), 0.0, both(2.0))
    assert patio.temperature == pytest.approx(out.temperature, abs=1e-9)
    assert patio.ratio == pytest.approx(out.ratio, abs=1e-12)


def test_more_water_than_air_can_take_stops_at_the_wet_bulb():
    out = outdoors()
    patio = mixed(out, np.full((1, 1), 1.0), air.water_enthalpy(303.15), blown(0.5))
    wet = air.wet_bulb(out.temperature, out.ratio, out.air_pressure)
    assert patio.temperature >= wet - 0.1
    assert air.relative_humidity(patio.temperature, patio.ratio, out.air_pressure) <= 1 + 1e-9


def test_one_litre_an_hour_cools_as_the_arithmetic_says():
    """1 L/h evaporated in 1 m3/s of air cools it by 0.58 K (latent heat at 20 degC 2453.5 kJ/kg, air
    1.164 kg/m3, 1.006 kJ/kgK: ASHRAE Fundamentals 2017 ch. 1 tables). 5 %: the engine follows the wet-bulb
    line and moist air's own heat capacity."""
    out = outdoors(30.0, 0.2)
    x = np.full((1, 1), 0.998 / 3600)
    patio = mixed(out, x, air.water_enthalpy(293.15), blown(1.0))
    assert out.temperature - patio.temperature == pytest.approx(0.580, rel=0.05)


def test_fixed_point_against_bisection():
    steep = np.array([[0.2, 1.0, 3.0, 5.0, 12.0]])

    def answer(x):
        return np.exp(-steep * x)

    at_zero = answer(np.zeros_like(steep))
    x = fixed_point(answer, at_zero, at_zero / 1.5, 1.0, 10)
    low, high = np.zeros_like(steep), np.ones_like(steep)
    for _ in range(60):
        half = (low + high) / 2
        low, high = np.where(answer(half) > half, half, low), np.where(answer(half) > half, high, half)
    assert x == pytest.approx(low, abs=1e-6)
    assert np.abs(answer(x) - x).max() < 1e-6


def test_fixed_point_with_a_kink_where_the_air_is_full():
    """Straight down to a kink, then level: a look at the kink itself makes the secant exact."""
    kink = 0.04

    def respond(x):
        return np.maximum(0.145 - 2.2 * x, 0.145 - 2.2 * kink)

    x = fixed_point(respond, np.full((1, 1), 0.145), np.full((1, 1), kink), 1.0, 3)
    assert np.abs(respond(x) - x).max() < 1e-12


def test_where_all_the_air_comes_back_none_passes_and_none_is_below_none():
    """A share a hair over one made a flow a hair below none, which no later step takes."""
    one, none = np.ones((1, 1)), np.zeros((1, 1))
    returns = np.nextafter(one, 2.0)
    change = AirChange(none, returns, one, 42.0, 3.0, one, 313.15 * one, one, 6.0)
    flow, _ = change(none)
    assert flow == 0.0
    assert change(one)[0] >= 0.0
