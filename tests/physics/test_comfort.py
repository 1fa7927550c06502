"""Standard effective temperature, UTCI and the radiation of a shade: what they must do in all weather."""

import warnings

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import comfort

ZERO = 273.15


def set_of(t, speed, percent, radiant=None, met=1.0, clo=0.5, air_pressure=101325.0):
    radiant = t if radiant is None else radiant
    kelvin = comfort.standard_effective_temperature(
        np.asarray(t, dtype=float) + ZERO,
        np.asarray(radiant, dtype=float) + ZERO,
        speed,
        np.asarray(percent) / 100,
        met,
        clo,
        air_pressure,
    )
    return kelvin - ZERO


def weather():
    """(degC, %, m/s) over all weather there is, broadcasting: -20 to 60, 0 to 100, 0 to 10."""
    t = np.linspace(-20 + 1e-9, 60 - 1e-9, 41)[:, None, None]
    return t, np.linspace(0, 100, 21)[:, None], np.array([0, 0.1, 0.3, 1, 2, 4, 10.0])


def test_set_answers_in_all_weather_and_rises_with_warmth_and_humidity():
    t, percent, speed = weather()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        felt = set_of(t, speed, percent)
    assert felt.shape == (41, 21, 7)
    assert np.all(np.isfinite(felt))
    assert np.all(np.diff(felt, axis=0) > 0)
    assert np.all(np.diff(felt, axis=1) > 0)


def test_set_rises_with_radiation():
    t, percent, speed = weather()
    warmer = np.linspace(-5, 35, 9)[:, None, None, None]  # than the air: any shade there is
    assert np.all(np.diff(set_of(t[::4], speed, percent[::4], t[::4] + warmer), axis=0) > 0)


@pytest.mark.parametrize("celsius", [20, 25, 30, 35, 40])
def test_set_is_the_air_temperature_in_its_own_standard_air(celsius):
    """Still air, 50 %, even walls, 1 met and the 0.6 clo that ASHRAE's Fundamentals names for it. Not exact:
    the definition takes the clothes' area as 1 + 0.25 clo, the person's own as 1 + 0.15 clo. 5 % of area on
    the heat that passes clothes of 0.6 clo, some 10 K below skin, is half a kelvin."""
    assert set_of(celsius, 0.0, 50, clo=0.6) == pytest.approx(celsius, abs=0.5)


def test_a_fan_helps_below_skin_temperature_and_harms_in_hot_damp_air():
    """Air below skin's 34 degC takes heat whatever its humidity. At 46 degC and 90 % the air's vapour
    (9.1 kPa) is above that of skin at 37 degC (6.3): nothing dries, and a fan only brings heat."""
    cool = np.linspace(15, 33, 7)[:, None]
    percent = np.array([5, 30, 60, 95])
    assert np.all(set_of(cool, 1.0, percent) < set_of(cool, 0.1, percent) - 1)
    assert set_of(46, 1.0, 90) > set_of(46, 0.1, 90) + 0.5
    gain = [set_of(t, 0.1, 50) - set_of(t, 1.0, 50) for t in (34, 38, 42, 46, 50)]
    assert np.all(np.diff(gain) < 0)


def test_slower_than_still_counts_as_still():
    assert set_of(30, 0.0, 40) == set_of(30, 0.1, 40)


def test_arrays_broadcast_and_one_answer_is_a_number():
    many = set_of(np.array([[25.0], [40.0]]), np.array([0.15, 1.1]), 50, 25.0)
    assert many.shape == (2, 2)
    assert many[1, 0] == set_of(40, 0.15, 50, 25.0)
    assert np.ndim(set_of(25, 0.15, 50)) == 0


@pytest.mark.parametrize(
    "bad",
    [
        {"t": 61},
        {"t": np.nan},
        {"speed": 11},
        {"speed": -0.1},
        {"percent": 101},
        {"radiant": 120},
        {"met": 0.5},
        {"clo": 0.0},
        {"air_pressure": 87.8},
    ],
)
def test_set_refuses_what_it_has_no_answer_for(bad):
    with pytest.raises(RangeError):
        set_of(**{"t": 30, "speed": 0.2, "percent": 40, **bad})


# ------------------------------------------------------------------ UTCI's range, and radiation in the shade


@pytest.mark.parametrize(
    "bad",
    [
        (51, 51, 1, 0.1),  # hotter than fitted
        (30, 101, 1, 0.4),  # radiant 71 K above
        (30, -1, 1, 0.4),  # radiant 31 K below
        (30, 30, 0.4, 0.4),  # calmer
        (30, 30, 18, 0.4),
        (45, 45, 1, 0.6),  # 5.8 kPa of vapour
        (30, 30, 1, 1.1),
        (np.nan, 30, 1, 0.4),
    ],
)
def test_utci_refuses_what_its_polynomial_never_saw(bad):
    t, radiant, wind, humidity = bad
    with pytest.raises(RangeError):
        comfort.utci(t + ZERO, radiant + ZERO, wind, humidity)


def test_a_shade_that_is_everywhere_at_air_temperature_radiates_at_it():
    assert comfort.shade_radiant(310.0, 310.0, 0.0, 0.0) == pytest.approx(310.0, abs=1e-9)


def test_shade_radiant_of_two_half_rooms():
    """Half at 300 K, half at 320 K: ((300^4 + 320^4) / 2)^(1/4) = 310.4828 K, by hand."""
    views = comfort.Views(lid=0.5, sky=0.0, sunlit=0.0, shaded=0.5)
    assert comfort.shade_radiant(300.0, 280.0, 20.0, 0.0, views) == pytest.approx(310.4828, abs=1e-3)


def test_shade_radiant_rises_with_each_surface():
    base = comfort.shade_radiant(313.15, 280.0)
    assert comfort.shade_radiant(313.15, 290.0) > base
    assert comfort.shade_radiant(313.15, 280.0, lid_excess=15.0) > base
    assert comfort.shade_radiant(313.15, 280.0, sunlit_excess=25.0) > base
    with pytest.raises(RangeError):
        comfort.shade_radiant(313.15, 280.0, views=comfort.Views(0.5, 0.5, 0.5, 0.5))


def test_a_clear_sky_is_colder_than_the_air_and_less_so_when_humid():
    """Brunt's formula at 25 hPa of vapour, by hand: 0.52 + 0.065 x 5 = 0.845, at 300 K a sky of 287.63 K."""
    vapour = 2500.0 / float(comfort.saturation_pressure(300.0))
    assert comfort.sky_temperature(300.0, vapour) == pytest.approx(287.63, abs=0.01)
    sky = comfort.sky_temperature(313.15, np.linspace(0, 1, 11))
    assert np.all(np.diff(sky) >= 0)
    assert np.all(sky <= 313.15)
