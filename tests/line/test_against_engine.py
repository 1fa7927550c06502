"""The line against the public-domain network engine (EPANET 2.2, by `wntr`).

With the engine's own friction law and its g (32.2 ft/s2) both solve the same equations; the engine stops
when flows change by less than 1e-5 of their sum.
"""

import dataclasses

import numpy as np
import pytest

from mistcalc.line.network.solver import solve
from tests.line import engine, networks

ENGINE_LAW = {"friction": "swamee-jain-cubic", "gravity": networks.ENGINE_GRAVITY}

LINES = [
    {"bar": 70, "litres_per_minute": 0.1, "bore": 7.747e-3},
    {"bar": 4, "litres_per_minute": 0.06, "bore": 4.318e-3},
    {"bar": 4, "litres_per_minute": 0.06, "bore": 4.318e-3, "ring": True},
]


@pytest.mark.thorough
@pytest.mark.parametrize("line", LINES)
def test_forty_nozzles_solved_by_the_engine_now(line, tmp_path):
    net = networks.even(40, **line, **ENGINE_LAW)
    ours = solve(net)
    gauge, flows, tubes = engine.solve(net, tmp_path)
    np.testing.assert_allclose(ours.nozzle_flow, flows, rtol=5e-5)  # its own stopping rule, with room of 5
    np.testing.assert_allclose(ours.node_gauge, gauge, rtol=1e-4)
    np.testing.assert_allclose(ours.tube_flow, tubes, atol=5e-5 * ours.supply_flow)


def comparable(count, seed, gravity):
    """Random lines the engine can solve too, with our solution by its friction law: no anti-drip checks and
    no K1/Re, which it does not know, and at least 2 % of supply pressure at the worst nozzle, since its
    emitters let water flow back where hardly any is left."""
    rng = np.random.default_rng(seed)
    while count:
        net = networks.random_line(rng, checks=False, still_tubes=False)
        net = dataclasses.replace(net, minor_laminar=0.0, friction="swamee-jain-cubic", gravity=gravity)
        ours = solve(net)
        if ours.nozzle_gauge.min() >= 0.02 * net.supply_gauge[0]:
            count -= 1
            yield net, ours


def in_transition(net, solved):
    """Whether any tube runs at Re 2,000 to 4,000, where the two friction laws differ by design."""
    reynolds = 4 * abs(solved.tube_flow) * net.density / (np.pi * net.bore * net.viscosity)
    return np.any((reynolds > 2000) & (reynolds < 4000))


@pytest.mark.parametrize("lines", [10, pytest.param(300, marks=pytest.mark.thorough)])
def test_random_lines_by_the_engines_law_and_by_churchill(lines, tmp_path):
    far, churchills, sizes = [], [], []
    for net, ours in comparable(lines, 20, networks.ENGINE_GRAVITY):
        gauge, flows, _ = engine.solve(net, tmp_path)
        # required <= 5e-4; the engine's stopping rule lets a long line be out by some 1e-5
        np.testing.assert_allclose(ours.nozzle_flow, flows, rtol=1e-4)
        np.testing.assert_allclose(ours.node_gauge, gauge, rtol=2e-4, atol=1e-4 * net.supply_gauge[0])
        far.append(np.max(np.abs(ours.nozzle_flow / flows - 1)))
        sizes.append(net.nozzle_node.size)
        ours = solve(dataclasses.replace(net, friction="churchill"))
        if not in_transition(net, ours):
            # two smooth-pipe laws, 1-2 % apart in f
            np.testing.assert_allclose(ours.nozzle_flow, flows, rtol=5e-3)
            churchills.append(np.max(np.abs(ours.nozzle_flow / flows - 1)))
    print(f"\n{lines} lines of up to {max(sizes)} nozzles: {max(far):.1e} by the engine's law, ", end="")
    print(f"{max(churchills):.1e} by Churchill's in the {len(churchills)} with no tube in transition")
    assert max(sizes) > 100 and len(churchills) > lines / 20


@pytest.mark.parametrize("lines", [3, pytest.param(60, marks=pytest.mark.thorough)])
def test_random_lines_with_standard_gravity(lines, tmp_path):
    far = []
    for net, ours in comparable(lines, 22, 9.80665):
        _, flows, _ = engine.solve(net, tmp_path)
        # 32.2 ft/s2 is 0.08 % more than standard: as much in friction, and 1.5 times as much in the flow of a
        # nozzle that keeps little of its pressure
        np.testing.assert_allclose(ours.nozzle_flow, flows, rtol=1.5e-3)
        far.append(np.max(np.abs(ours.nozzle_flow / flows - 1)))
    print(f"\n{lines} lines: {max(far):.1e} by the engine's law with standard gravity")


@pytest.mark.parametrize(("feed", "bore"), [(20.0, 4.318e-3), (60.0, 6e-3), (5.0, 3e-3)])
def test_churchill_in_a_turbulent_feed_with_laminar_branches(feed, bore, tmp_path):
    # random lines without transition are nearly all laminar; here the feed is turbulent and nothing between
    nozzles = 30
    net = dataclasses.replace(
        networks.even(nozzles, 20, 0.1, bore),
        elevation=np.zeros(nozzles + 2),
        start=np.append(0, np.ones(nozzles, int)),
        end=np.arange(1, nozzles + 2),
        length=np.append(feed, np.full(nozzles, 2.0)),
        bore=np.append(bore, np.full(nozzles, 3e-3)),
        nozzle_node=np.arange(2, nozzles + 2),
        gravity=networks.ENGINE_GRAVITY,
    )
    ours = solve(net)
    reynolds = 4 * ours.tube_flow * net.density / (np.pi * net.bore * net.viscosity)
    assert reynolds[0] > 4000 and reynolds[1:].max() < 2000
    assert ours.node_gauge[1] < 0.98 * ours.supply_gauge  # the feed does lose pressure
    _, flows, _ = engine.solve(dataclasses.replace(net, friction="swamee-jain-cubic"), tmp_path)
    # 5e-3 is required: two smooth-pipe laws 1-2 % apart in f, a fraction of that in flow
    np.testing.assert_allclose(ours.nozzle_flow, flows, rtol=5e-3)
