"""A wet floor: against the handbook's rate for quiet pools, and its limits."""

import numpy as np
import pytest

from mistcalc.physics import air, film

PRESSURE = 101325.0


@pytest.mark.parametrize("speed", [0.0, 0.5, 1.0, 2.0])
@pytest.mark.parametrize(("celsius", "humidity"), [(40.0, 0.15), (33.0, 0.6), (25.0, 0.4)])
def test_film_dries_as_the_handbook_says_of_a_quiet_pool(celsius, humidity, speed):
    """ASHRAE Handbook, HVAC Applications, Natatoriums: w = A/Y (p_w - p_a)(0.089 + 0.0782 V) with Y latent
    heat [kJ/kg], p [kPa], times 0.5 for a quiet (residential) pool; from memory. Measured pools scatter about
    it and the 0.5 has one figure: 30 %."""
    t = 273.15 + celsius
    w = air.humidity_ratio(t, humidity, PRESSURE)
    surface = film.film_temperature(t, w, PRESSURE, speed)
    missing = (air.saturation_pressure(surface, "water") - air.vapour_pressure(w, PRESSURE)) / 1e3
    pool = 0.5 * missing * (0.089 + 0.0782 * speed) / (air.latent_heat(surface) / 1e3)
    assert film.film_rate(t, w, PRESSURE, speed) == pytest.approx(pool, rel=0.3)


def test_film_settles_between_wet_and_dry_bulb_and_balances():
    t = 273.15 + np.array([2.0, 20.0, 40.0, 55.0])[:, None, None]
    humidity = np.array([0.02, 0.3, 0.9])[:, None]
    speed = np.array([0.0, 0.2, 2.0, 12.0])
    w = air.humidity_ratio(t, humidity, PRESSURE)
    found = film.film_temperature(t, w, PRESSURE, speed)
    assert np.all(found > air.wet_bulb(t, w, PRESSURE, "water") - 0.2)  # Lewis number below 1: a little lower
    assert np.all(found < t)
    heat = (film.convection(speed) + 4 * 0.95 * 5.670374e-8 * t**3) * (t - found)
    lost = film.film_rate(t, w, PRESSURE, speed) * air.latent_heat(found)
    assert heat == pytest.approx(lost, rel=1e-4)


def test_saturated_air_dries_nothing():
    w = air.saturated_ratio(300.0, PRESSURE)
    assert film.film_rate(300.0, w, PRESSURE, 1.0) == pytest.approx(0.0, abs=1e-12)


def test_more_air_dries_faster():
    w = air.humidity_ratio(308.0, 0.3, PRESSURE)
    assert np.all(np.diff(film.film_rate(308.0, w, PRESSURE, np.linspace(0, 5, 20))) > 0)
