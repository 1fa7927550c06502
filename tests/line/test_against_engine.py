"""The line against the public-domain network engine (EPANET 2.2, by `wntr`).

With the engine's own friction law and its g (32.2 ft/s2) both solve the same equations; the engine stops
when flows change by less than 1e-5 of their sum.
"""

import dataclasses

import numpy as np
import pytest

from mistcalc.line.network import solve
from tests.line import engine, networks

ENGINE_LAW = {"friction": "swamee-jain-cubic", "gravity": networks.ENGINE_GRAVITY}

LINES = [
    {"bar": 70, "litres_per_minute": 0.1, "bore": 7.747e-3},
    {"bar": 4, "litres_per_minute": 0.06, "bore": 4.318e-3},
    {"bar": 4, "litres_per_minute": 0.06, "bore": 4.318e-3, "ring": True},
]


@pytest.mark.parametrize("line", LINES)
def test_forty_nozzles_solved_by_the_engine_now(line, tmp_path):
    net = networks.even(40, **line, **ENGINE_LAW)
    ours = solve(net)
    gauge, flows, tubes = engine.solve(net, tmp_path)
    np.testing.assert_allclose(ours.nozzle_flow, flows, rtol=5e-5)  # its own stopping rule, with room of 5
    np.testing.assert_allclose(ours.node_gauge, gauge, rtol=1e-4)
    np.testing.assert_allclose(ours.tube_flow, tubes, atol=5e-5 * ours.supply_flow)


def test_thirty_random_lines(tmp_path):
    rng = np.random.default_rng(20)
    checked, widest = 0, 0
    while checked < 30:
        net = networks.random_line(rng, checks=False, still_tubes=False)
        net = dataclasses.replace(net, minor_laminar=0.0, **ENGINE_LAW)
        ours = solve(net)
        if ours.nozzle_gauge.min() < 0.02 * net.supply_gauge[0]:
            continue  # hardly any pressure left: the engine's emitters let water flow back
        gauge, flows, _ = engine.solve(net, tmp_path)
        # required <= 5e-4; the engine's stopping rule lets a long line be out by some 1e-5
        np.testing.assert_allclose(ours.nozzle_flow, flows, rtol=1e-4)
        np.testing.assert_allclose(ours.node_gauge, gauge, rtol=2e-4, atol=1e-4 * net.supply_gauge[0])
        checked, widest = checked + 1, max(widest, net.nozzle_node.size)
    assert widest > 100


def test_churchill_where_no_tube_is_in_transition(tmp_path):
    rng = np.random.default_rng(21)
    checked = 0
    while checked < 10:
        net = networks.random_line(rng, checks=False, still_tubes=False)
        net = dataclasses.replace(net, minor_laminar=0.0)
        ours = solve(net)
        reynolds = 4 * abs(ours.tube_flow) * net.density / (np.pi * net.bore * net.viscosity)
        if ours.nozzle_gauge.min() < 0.02 * net.supply_gauge[0] or np.any(
            (reynolds > 2000) & (reynolds < 4000)
        ):
            continue
        _, flows, _ = engine.solve(net, tmp_path)
        np.testing.assert_allclose(
            ours.nozzle_flow, flows, rtol=5e-3
        )  # two smooth-pipe laws, 1-2 % apart in f
        checked += 1
