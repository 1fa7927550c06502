"""What people at the seats feel: four columns of one comparison, and what is said where there is no answer.

The seats' air is made by hand here; nothing is validation, which is in tests/published/test_comfort.py.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from mistcalc.cooling import comfort_indices
from mistcalc.cooling.patio_air import Outdoors
from mistcalc.cooling.sunlight import Sunlight
from mistcalc.model.project import Obstacle, Patio
from mistcalc.model.results import COMFORT_COLUMNS, Comfort, Layout, PlacedObstacle
from mistcalc.physics import air, comfort
from tests.builders import FT, IN, layout, patio

SEATS = ((2.0, 1.5),)


def porch(*fans: tuple[float, float, float]) -> tuple[Patio, Layout]:
    """The small porch with fans of 60 in sweep at (x, y) that blow a speed on a seat below."""
    obstacles = tuple(
        Obstacle(f"F{i}", "fan", "A", x, y, (60 * IN, 60 * IN), 24 * IN, speed)
        for i, (x, y, speed) in enumerate(fans)
    )
    placed = tuple(PlacedObstacle(o.name, "fan", "A", o.along, o.back, (o.along, o.back), (), 30 * IN,
                                  24 * IN)
                   for o in obstacles)  # fmt: skip
    plan = layout()
    return (
        dataclasses.replace(patio(), obstacles=obstacles),
        dataclasses.replace(plan, lid=dataclasses.replace(plan.lid, obstacles=placed)),
    )


def feel(
    celsius=38.0, humidity=0.2, drop=4.0, mixed_drop=3.0, wind=0.3, fans=((2.0, 1.5, 1.0),), seats=SEATS
):
    """Evaporation at a constant enthalpy, 2.45 K per g/kg, takes `drop` from the air."""
    t = np.full((3, 2), 273.15 + celsius)
    p = np.full_like(t, 90e3)
    out = Outdoors(t, air.humidity_ratio(t, humidity, p), p)

    def cooled(by):
        ratio = out.ratio + by / 2450
        return t - by, comfort_indices.relative_humidity(t - by, ratio, p)

    return comfort_indices.seat_comfort(
        *porch(*fans), seats, out, cooled(drop), cooled(mixed_drop), np.full_like(t, wind)
    )


def test_four_columns_of_three_indices():
    felt = feel()
    for index in (felt.effective, felt.utci, felt.heat_index):
        assert tuple(index) == COMFORT_COLUMNS
        assert all(v.shape == (3, 2) and np.all(np.isfinite(v)) for v in index.values())
    assert felt.fan_speed == 1.0
    assert felt.fan_supposed is None


def test_mist_and_fan_each_help_a_warm_dry_seat_and_mist_leaves_radiation_alone():
    felt = feel(celsius=32.0, humidity=0.3)
    e = felt.effective
    assert np.all(e["mist"] < e["shade"])
    assert np.all(e["fan"] < e["shade"])
    assert np.all(e["both"] < np.minimum(e["fan"], e["mist"]))
    assert np.array_equal(felt.radiant, feel(celsius=32.0, humidity=0.3, drop=0.0, mixed_drop=0.0).radiant)


def test_without_mist_or_fan_the_columns_agree():
    felt = feel(drop=0.0, mixed_drop=0.0, wind=2.0)  # more wind than the fan makes
    shade = felt.effective["shade"]
    assert all(np.allclose(v, shade, rtol=0, atol=1e-9) for v in felt.effective.values())


def test_the_shade_column_is_the_index_of_its_state():
    felt = feel(wind=0.3)
    t = 273.15 + 38.0
    sky = comfort.sky_temperature(t, 0.2)
    ours = comfort.standard_effective_temperature(
        t, comfort.shade_radiant(t, sky), 0.3, 0.2, 1.0, 0.5, air_pressure=90e3
    )
    assert felt.effective["shade"][1, 1] == pytest.approx(float(ours), abs=1e-9)
    # 0.3 m/s at a seated head is 0.45 at 10 m, below UTCI's floor of 0.5
    assert felt.utci["shade"][0, 0] == pytest.approx(
        float(comfort.utci(t, comfort.shade_radiant(t, sky), 0.5, 0.2)), abs=1e-9
    )


def test_fans_reach_the_seats_near_them_and_others_get_a_supposed_one():
    near, far = (2.0, 1.5), (2.0 + 30 * FT, 1.5)
    speeds, all_reached = comfort_indices.fan_speeds(*porch((2.5, 1.5, 1.2), (1.5, 1.5, 0.8)), (near, far))
    assert speeds.tolist() == [1.2, comfort_indices.SUPPOSED_FAN]  # the stronger of two
    assert not all_reached
    for seats in ((near,), ()):
        speeds, all_reached = comfort_indices.fan_speeds(*porch(), seats)
        assert speeds.tolist() == [comfort_indices.SUPPOSED_FAN] and not all_reached


def test_seats_with_different_fans_are_averaged():
    fast, slow = feel(fans=((2.0, 1.5, 1.0),)), feel(fans=())
    mixed = feel(fans=((2.0, 1.5, 1.0),), seats=((2.0, 1.5), (20.0, 1.5)))
    for column in COMFORT_COLUMNS:
        mean = (fast.effective[column] + slow.effective[column]) / 2
        assert np.allclose(mixed.effective[column], mean, rtol=0, atol=1e-9)
    assert mixed.fan_supposed == slow.fan_supposed == comfort_indices.SUPPOSED_FAN
    assert mixed.fan_speed == pytest.approx((1.0 + comfort_indices.SUPPOSED_FAN) / 2)


def test_outside_an_index_s_range_there_is_no_number_at_all():
    hot = feel(celsius=55.0, humidity=0.05)  # UTCI was fitted up to 50 degC
    assert hot.utci == {}
    assert hot.band("shade", index="utci") is None
    assert hot.effective
    assert hot.heat_index
    storm = feel(wind=12.0)  # the body model ends at 10 m/s
    assert storm.effective == {}
    assert storm.band("mist") is None
    assert storm.heat_index
    cold = feel(celsius=-25.0, humidity=0.5, drop=0.0, mixed_drop=0.0)
    assert np.all(np.isnan(cold.radiant))
    assert cold.effective == cold.utci == cold.heat_index == {}


def test_one_hour_outside_an_index_s_range_empties_that_hour_alone():
    """The second of two hours is 55 degC, beyond UTCI; the third draw of the first is a storm, beyond SET."""
    t = np.array([[311.15, 328.15]] * 3)
    p = np.full_like(t, 90e3)
    out = Outdoors(t, air.humidity_ratio(t, 0.1, p), p)
    state = out.temperature, comfort_indices.relative_humidity(out.temperature, out.ratio, p)
    speed = np.array([[0.3, 0.3], [0.3, 0.3], [12.0, 0.3]])
    felt = comfort_indices.seat_comfort(*porch(), SEATS, out, state, state, speed)
    for column in COMFORT_COLUMNS:
        assert np.isfinite(felt.utci[column]).tolist() == [[True, False]] * 2 + [[False, False]]
        assert np.isfinite(felt.effective[column]).tolist() == [[True, True]] * 2 + [[False, True]]
    assert felt.answered() == pytest.approx(5 / 6)
    assert felt.answered("utci") == pytest.approx(2 / 6)
    assert felt.band("shade") is not None
    assert felt.band("shade", index="utci") is None  # under half of them: no range of the whole


def test_a_band_is_of_all_draws_and_hours():
    felt = dataclasses.replace(feel(), effective={"mist": np.array([[300.0, 301.0], [302.0, 304.0]])})
    assert felt.band("mist", (0.0, 0.5, 1.0)) == pytest.approx((300.0, 301.5, 304.0))


def test_each_seat_has_its_own_columns_and_their_mean_is_told_for_all():
    """Two seats, one under a fan and in the plume: shade is one for all, the rest each seat's own."""
    near, far = (2.0, 1.5), (20.0, 1.5)
    t = np.full((3, 2), 273.15 + 38.0)
    out = Outdoors(t, air.humidity_ratio(t, 0.2, 90e3), np.full_like(t, 90e3))
    drops = np.array([5.0, 1.0])[:, None, None]
    ratio = out.ratio + drops / 2450
    there = t - drops, comfort_indices.relative_humidity(t - drops, ratio, 90e3)
    mixed = there[0][1], there[1][1]
    felt = comfort_indices.seat_comfort(
        *porch((2.0, 1.5, 1.0)), (near, far), out, there, mixed, np.full_like(t, 0.3)
    )
    assert all(v.shape == (2, 3, 2) for v in felt.at_seats.values())
    shade, fan, mist, both = (felt.at_seats[column][:, 0, 0] for column in COMFORT_COLUMNS)
    assert shade[0] == shade[1]
    assert fan[0] < fan[1] < shade[0]  # 1 m/s against the supposed 0.6
    assert mist[0] < mist[1] < shade[0]
    assert both[0] < both[1] < fan[1]
    for column, each in felt.at_seats.items():
        assert np.allclose(felt.effective[column], each.mean(axis=0), rtol=0, atol=1e-9)
    assert felt.seat_band(0, "mist") == pytest.approx((mist[0],) * 3)
    alone = comfort_indices.seat_comfort(
        *porch((2.0, 1.5, 1.0)), (near,), out, (there[0][0], there[1][0]), mixed, 0.3 + 0 * t
    )
    assert alone.effective["mist"][0, 0] == pytest.approx(mist[0], abs=1e-9)
    assert comfort_indices.seat_comfort(*porch(), (), out, mixed, mixed, 0.3 + 0 * t).at_seats[
        "mist"
    ].shape == (
        1,
        3,
        2,
    )


def in_the_sun(rise: np.ndarray, share: np.ndarray) -> Comfort:
    t = np.full((3, 2), 311.15)
    p = np.full_like(t, 90e3)
    out = Outdoors(t, air.humidity_ratio(t, 0.2, p), p)
    off = t, comfort_indices.relative_humidity(t, out.ratio, p)
    seats = ((2.0, 1.5), (20.0, 1.5))
    plan = porch((2.0, 1.5, 1.0))
    return comfort_indices.seat_comfort(
        *plan, seats, out, off, off, np.full_like(t, 0.3), Sunlight(share, rise)
    )


def test_a_seat_in_the_shade_is_told_as_without_any_sun():
    """The first seat has the sun in one hour of one draw: all else is what it was, to the digit."""
    rise = np.zeros((2, 3, 2))
    rise[0, 1, 0] = 25.0
    sunny, shaded = in_the_sun(rise, rise / 25), in_the_sun(0 * rise, 0 * rise)
    for column in COMFORT_COLUMNS:
        differs = sunny.at_seats[column] != shaded.at_seats[column]
        assert np.argwhere(differs).tolist() == [[0, 1, 0]]
        assert sunny.at_seats[column][0, 1, 0] > shaded.at_seats[column][0, 1, 0] + 1.0
        assert np.array_equal(sunny.heat_index[column], shaded.heat_index[column])
    assert np.argwhere(sunny.utci["mist"] != shaded.utci["mist"]).tolist() == [[1, 0]]
    assert sunny.full_sun() == pytest.approx(25.0)
    assert shaded.full_sun() is None


def test_a_seat_in_the_sun_is_the_index_with_so_much_more_radiation():
    rise = np.zeros((2, 3, 2))
    rise[1] = 25.0
    felt = in_the_sun(rise, rise / 25)
    t = 311.15
    radiant = comfort.shade_radiant(t, comfort.sky_temperature(t, 0.2)) + 25.0
    for column, speed in (("shade", 0.3), ("fan", comfort_indices.SUPPOSED_FAN), ("mist", 0.3)):
        ours = comfort.standard_effective_temperature(t, radiant, speed, 0.2, 1.0, 0.5, air_pressure=90e3)
        assert felt.at_seats[column][1, 2, 1] == pytest.approx(float(ours), abs=1e-9)


def test_nobody_knows_the_sun():
    assert feel().lit is None
    assert feel().full_sun() is None
