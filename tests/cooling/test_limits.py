"""What the patio's air may never do, whatever the draw: random afternoons, drops, winds and lids."""

from __future__ import annotations

import dataclasses
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc.cooling import balance, unknowns
from mistcalc.cooling.balance_inputs import inputs_of
from mistcalc.cooling.case import Case
from mistcalc.cooling.place_air import Fan, PlaceAir
from mistcalc.cooling.stratification import air_at
from mistcalc.physics import air, nozzle
from tests.cooling.test_balance import case, plain

WINDS = np.array([[0.05, 0.3, 1.0, 2.5, 6.0, 15.0]])


def sprayed(c: Case, **changed) -> Case:
    """The same case with another spray; without a nozzle of its own pressure the drops stay as stated."""
    return dataclasses.replace(c, spray=dataclasses.replace(c.spray, **changed))


def drop_of(c: Case) -> np.ndarray:
    return c.outdoors.temperature - balance.solve_balance(c).patio.temperature


afternoons = st.tuples(st.floats(5.0, 50.0), st.floats(0.02, 1.0))


def never_above_outdoors_nor_below_the_wet_bulb(weather) -> None:
    c = case(*weather, unknowns.draws(10), WINDS)
    supply = min(c.plumbing.water.temperature, 273.15 + weather[0])  # warm water may warm cold air
    c = dataclasses.replace(
        c,
        plumbing=dataclasses.replace(
            c.plumbing, water=dataclasses.replace(c.plumbing.water, temperature=max(supply, 274.0))
        ),
    )
    found = balance.solve_balance(c)
    out = c.outdoors
    wet = air.wet_bulb(out.temperature, out.ratio, out.air_pressure)
    there = PlaceAir(c, found).found()
    for t in (
        found.patio.temperature,
        *(air_at(c, found, held, height).temperature for held in (0.0, 3.0) for height in (0.0, 2.9)),
        *(out.temperature - d for d in there.drop.values()),
    ):
        assert np.all(t <= out.temperature + 1e-6)
        assert np.all(t >= wet - 0.1)
    assert np.all((found.kept >= 0) & (found.kept <= 3))  # more than all: the nozzles feed the still corner
    assert found.residual.max() < 1e-3


@given(afternoons)
@settings(max_examples=2, deadline=None, derandomize=True)
def test_never_above_outdoors_nor_below_the_wet_bulb(weather):
    never_above_outdoors_nor_below_the_wet_bulb(weather)


@pytest.mark.thorough
@given(afternoons)
@settings(max_examples=15, deadline=None, derandomize=True)
def test_never_above_outdoors_nor_below_the_wet_bulb_in_many_afternoons(weather):
    never_above_outdoors_nor_below_the_wet_bulb(weather)


def test_no_water_is_outdoor_air_exactly():
    c = sprayed(case(40.0, 0.15, unknowns.draws(10), WINDS), flow=1e-300)
    found = balance.solve_balance(c)
    assert np.array_equal(found.patio.ratio, c.outdoors.ratio)
    assert found.patio.temperature == pytest.approx(c.outdoors.temperature, abs=1e-9)


@pytest.mark.thorough
@pytest.mark.parametrize("weather", [(40.0, 0.15), (33.0, 0.6), (28.0, 0.85)])
def test_more_nozzles_never_warm(weather):
    """More of them on the same lid, each with its own water: the mixed air is no warmer. 0.01 K: residual."""
    drops = [drop_of(sprayed(case(*weather, unknowns.draws(10), WINDS), nozzles=n)) for n in (1, 3, 10, 30)]
    assert all(np.all(more >= fewer - 0.01) for fewer, more in pairwise(drops))


def test_a_storm_leaves_nothing_and_never_warms():
    drop = drop_of(case(40.0, 0.15, unknowns.draws(20), np.array([[1.0, 3.0, 10.0, 30.0]])))
    assert np.all(drop >= -1e-6)
    assert np.all(np.diff(np.median(drop, axis=0)) < 0)
    assert np.median(drop[:, -1]) < 0.3


def test_fuller_water_pressure_checks_open_sooner_and_later():
    """Wide open well above the check's pressure: the draws agree. Near it they differ, and some are shut."""
    c = case(40.0, 0.15, unknowns.draws(50))
    checked = dataclasses.replace(c.plumbing, nozzle=dataclasses.replace(c.plumbing.nozzle, opens_at=5e5))
    assert np.ptp(c.flow) == 0.0
    far = dataclasses.replace(c, plumbing=checked)
    assert far.flow == pytest.approx(np.full((50, 1), c.spray.flow))
    n = checked.nozzle
    passes = float(nozzle.flow(5.2e5, n.flow, n.at, n.exponent) * nozzle.opened(5.2e5, 5e5, n.exponent))
    near = sprayed(far, gauge=5.2e5, flow=passes)
    assert near.flow.min() == 0.0
    assert near.flow.max() > 2 * passes
    drop = drop_of(near)
    assert np.all(np.isfinite(drop))
    assert drop[near.flow[:, 0] == 0.0] == pytest.approx(0.0, abs=1e-9)


# ------------------------------------------------------------------ still air


def test_layers_keep_the_mean_and_go_to_nothing_at_the_lid():
    """Still air: twice the mean at the floor, as outdoors at the lid, the mean half way. 0.3 K: what air of
    one enthalpy less loses in warmth hangs a little on how wet it is."""
    u = dataclasses.replace(plain(), place=np.ones((1, 1)), layering=np.ones((1, 1)))
    c = case(40.0, 0.15, u, np.array([[0.02]]))
    found = balance.solve_balance(c)
    mean = c.outdoors.temperature - found.patio.temperature

    def drop(height):
        return c.outdoors.temperature - air_at(c, found, 1.0, height).temperature

    assert drop(1.5) == pytest.approx(mean, abs=1e-6)
    assert drop(3.0) == pytest.approx(0.0, abs=0.02 * mean[0, 0])
    assert drop(0.0) == pytest.approx(2 * mean, abs=0.3)


def test_cold_air_spreads_until_the_wind_has_carried_it_out():
    """A cloud that runs as far as the patio is wide in the time it is there is half spread; in a strong wind
    it stays a ribbon, and the less of it lies where the wind does not carry it."""
    change = inputs_of(case(40.0, 0.15, plain(), np.array([[0.5]]))).change
    change = dataclasses.replace(change, gathered=np.ones((1, 1)))
    speed = (
        change.by_wind * change.exchange / change.section
    )  # Benjamin 1968: 0.45 (g' h)^1/2 through half of the clear height
    heavier = (speed / 0.45) ** 2 / (9.80665 * change.clear_height / 2)
    assert change.swept(heavier * change.temperature) == pytest.approx(np.full((1, 1), 0.5), rel=1e-9)
    assert change.swept(np.zeros((1, 1))) == 1.0
    winds = case(40.0, 0.15, plain(), np.array([[0.05, 0.3, 1.0, 5.0]]))
    found = balance.solve_balance(winds)
    assert np.all(np.diff(found.swept[0]) > 0)
    assert found.swept[0, 0] < 0.1 and found.swept[0, -1] > 0.95


def test_wind_stirs_the_layers_away():
    c = case(40.0, 0.15, plain(), np.array([[0.05, 0.5, 1.0, 2.0, 5.0]]))
    found = balance.solve_balance(c)
    floor = air_at(c, found, 1.0, 0.0).temperature
    assert np.all(np.diff(found.patio.by_wind[0]) > 0)
    assert found.patio.by_wind[0, 0] < 0.02 and found.patio.by_wind[0, -1] > 0.98
    assert (floor - found.patio.temperature)[0, -1] == pytest.approx(0.0, abs=0.05)


# ------------------------------------------------------------------ fans


def test_fans_flatten_the_places_and_bring_in_no_air():
    c = case(40.0, 0.15, unknowns.draws(50), np.array([[0.3]]))
    found = balance.solve_balance(c)

    def spread(fans):
        drops = np.stack(list(PlaceAir(c, found, fans).found().drop.values()))
        return float(np.median(np.ptp(drops, axis=0)))

    one, all_over = (Fan((3.0, 2.0), reach, 1.0) for reach in (1.5, 10.0))
    assert spread((one,)) <= spread(()) and spread(()) > 0.1
    assert spread((all_over,)) == 0.0
    mixed = c.outdoors.temperature - found.patio.temperature
    stirred = PlaceAir(c, found, (all_over,)).found().drop
    assert all(np.array_equal(drop, mixed) for drop in stirred.values())
