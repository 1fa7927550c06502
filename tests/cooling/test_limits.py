"""What the patio's air may never do, whatever the draw: random afternoons, drops, winds and lids."""

from __future__ import annotations

import dataclasses
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc.cooling import balance, calm, unknowns
from mistcalc.cooling.places import Fan, Footprint
from mistcalc.physics import air, nozzle
from tests.cooling.test_balance import case, plain

WINDS = np.array([[0.05, 0.3, 1.0, 2.5, 6.0, 15.0]])


def sprayed(c: balance.Case, **changed) -> balance.Case:
    """The same case with another spray; without a nozzle of its own pressure the drops stay as stated."""
    return dataclasses.replace(c, spray=dataclasses.replace(c.spray, **changed))


def drop_of(c: balance.Case) -> np.ndarray:
    return c.outdoors.temperature - balance.balance(c).patio.temperature


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
    found = balance.balance(c)
    out = c.outdoors
    wet = air.wet_bulb(out.temperature, out.ratio, out.air_pressure)
    background = calm.settled(c, found, calm.pool_of(c, found))
    there = Footprint(c, found, background).found()
    for t in (
        found.patio.temperature,
        background.temperature,
        *(out.temperature - d for d in there.drop.values()),
    ):
        assert np.all(t <= out.temperature + 1e-6)
        assert np.all(t >= wet - 0.1)
    assert np.all((found.kept >= 0) & (found.kept <= 1))
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
    found = balance.balance(c)
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


def test_a_calm_pool_as_a_second_trial_of_the_equations_has_it():
    """0.7-0.9 m deep and 10 K colder at 40 degC and 15 %, found by another hand (10 nozzles, 14 m of edge).

    One more decimetre and 2 K either way: its plumes were its own; here 0.7 of the cooling is kept."""
    c = case(40.0, 0.15, plain(), np.array([[0.05]]))
    found = balance.balance(c)
    pool = calm.pool_of(c, found)
    assert 0.6 <= pool.top[0, 0] <= 1.0
    assert 8.0 <= pool.drop[0, 0] <= 12.0
    assert pool.calm[0, 0] > 0.95


def test_the_calm_range_contains_mixed_and_layered_air():
    u = unknowns.draws(200)
    c = case(40.0, 0.15, u, np.array([[0.05]]))
    found = balance.balance(c)
    pool = calm.pool_of(c, found)
    told = c.outdoors.temperature - calm.settled(c, found, pool).temperature
    mixed = c.outdoors.temperature - found.patio.temperature
    layered = pool.drop * np.clip((pool.top - 0.85) / 0.5, 0, 1)
    assert np.all(told >= np.minimum(mixed, layered) - 1e-9)
    assert np.all(told <= np.maximum(mixed, layered) + 1e-9)
    # The draws nearest the two ends are nearly one and nearly the other.
    ends = np.argsort(u.pooling[:, 0])
    assert told[ends[0]] == pytest.approx(mixed[ends[0]], rel=0.02)
    assert abs(told[ends[-1], 0] - layered[ends[-1], 0]) < 0.05 * mixed[ends[-1], 0]


def test_wind_stirs_the_pool_away():
    c = case(40.0, 0.15, plain(), np.array([[0.05, 0.5, 1.0, 2.0, 5.0]]))
    found = balance.balance(c)
    pool = calm.pool_of(c, found)
    assert np.all(np.diff(pool.calm[0]) < 0)
    assert pool.calm[0, -1] < 0.02


# ------------------------------------------------------------------ fans


def test_fans_flatten_the_places_and_bring_in_no_air():
    c = case(40.0, 0.15, unknowns.draws(50), np.array([[0.3]]))
    found = balance.balance(c)
    background = calm.settled(c, found, calm.pool_of(c, found))

    def spread(fans):
        drops = np.stack(list(Footprint(c, found, background, fans).found().drop.values()))
        return float(np.median(np.ptp(drops, axis=0)))

    one, all_over = (Fan((3.0, 2.0), reach, 1.0) for reach in (1.5, 10.0))
    assert spread((one,)) <= spread(()) and spread(()) > 0.1
    assert spread((all_over,)) == 0.0
    mixed = c.outdoors.temperature - found.patio.temperature
    stirred = Footprint(c, found, background, (all_over,)).found().drop
    assert all(np.array_equal(drop, mixed) for drop in stirred.values())
