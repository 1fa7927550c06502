"""The sun's path and its light on a body: what must hold everywhere and always."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import sun

YEAR = np.arange(0, 365.25, 0.37) + 9000.0  # days since 2000


def test_height_at_the_meridian_is_told_by_latitude_and_season():
    """Highest at transit, due south or due north; the year's highest and lowest noons differ by twice the
    tilt of the earth, 23.44 degrees (any textbook)."""
    for degrees in (-60, -34.9, 0.5, 31.8, 60):
        noon = np.arange(365.0) + 9000
        rise, transit, set_ = sun.sun_times(noon, np.radians(degrees), np.radians(20.0))
        height, azimuth = sun.sun_position(transit, np.radians(degrees), np.radians(20.0))
        for off in (-0.01, 0.01):
            assert np.all(sun.sun_position(transit + off, np.radians(degrees), np.radians(20.0))[0] < height)
        beyond = np.degrees(height.min()) if abs(degrees) > 24 else None
        if beyond is not None:
            assert np.degrees(np.ptp(height)) == pytest.approx(2 * 23.44, abs=0.03)
            south = azimuth if degrees > 0 else (azimuth + np.pi) % (2 * np.pi)
            assert np.degrees(np.abs(south - np.pi)).max() < 0.01
        assert np.all(rise < transit)
        assert np.all(transit < set_)


def test_rising_and_setting_are_where_the_sun_stands_on_the_horizon():
    rise, _, set_ = sun.sun_times(np.arange(365.0) + 9000.5, np.radians(40.0), np.radians(170.0))
    for moment in (rise, set_):
        height, _ = sun.sun_position(moment, np.radians(40.0), np.radians(170.0))
        assert np.degrees(height) == pytest.approx(-0.8333, abs=0.01)
    assert np.all(set_ - rise > 9 / 24)


def test_no_rising_in_a_polar_winter_and_no_setting_in_its_summer():
    rise, transit, set_ = sun.sun_times(np.array([8938.0, 9121.0]), np.radians(80.0), 0.0)
    assert np.all(np.isnan(rise))
    assert np.all(np.isnan(set_))
    assert np.all(np.isfinite(transit))


def test_equation_of_time_balances_over_the_year_and_has_its_four_extremes():
    minutes = sun.equation_of_time(YEAR) / 60
    assert minutes.mean() == pytest.approx(0, abs=0.05)
    turns = np.flatnonzero(np.diff(np.sign(np.diff(minutes))))
    assert len(turns) == 4
    assert minutes.max() == pytest.approx(16.4, abs=0.1)  # early November, any almanac
    assert minutes.min() == pytest.approx(-14.2, abs=0.1)  # mid February


def test_arrays_answer_as_numbers_do():
    latitude = np.radians([[-35.0], [33.0]])
    height, azimuth = sun.sun_position(YEAR[:50], latitude, -1.9)
    assert height.shape == azimuth.shape == (2, 50)
    one = sun.sun_position(float(YEAR[7]), float(latitude[1, 0]), -1.9)
    assert (height[1, 7], azimuth[1, 7]) == one
    assert np.all((azimuth >= 0) & (azimuth < 2 * np.pi))


def test_nobody_knows_the_facing_is_the_mean_of_all_facings():
    height = np.radians([3.0, 22.0, 47.0, 88.0])[:, None]
    facing = np.linspace(0, np.pi, 100_001)
    for posture in ("seated", "standing"):
        every = sun.projected_area(height, facing, posture).mean(axis=1)
        assert sun.projected_area(height[:, 0], None, posture) == pytest.approx(every, abs=1e-5)


def test_more_light_is_never_less_heat():
    base = {"height": 0.6, "beam": 800.0, "diffuse": 100.0, "sky_view": 0.3, "lit": 0.4}
    field = sun.sunlight_taken(**base)
    for name in ("beam", "diffuse", "sky_view", "lit"):
        assert sun.sunlight_taken(**(base | {name: 1.1 * base[name]})) > field
    assert sun.sunlight_taken(0.6, 0.0, 0.0, 0.3, 1.0) == 0
    assert sun.sunlight_taken(0.6, 800.0, 100.0, 0.0, 0.0) == 0


def test_what_is_outside_is_refused():
    for bad in ((np.nan, 0.5, 0.5), (1e6, 0.5, 0.5), (9000, 2.0, 0.5), (9000, 0.5, 4.0)):
        with pytest.raises(RangeError):
            sun.sun_position(*bad)
    for bad in ((-0.1, 800, 100, 0.5, 0.5), (0.5, -1, 100, 0.5, 0.5), (0.5, 800, 100, 1.5, 0.5)):
        with pytest.raises(RangeError):
            sun.sunlight_taken(*bad)
