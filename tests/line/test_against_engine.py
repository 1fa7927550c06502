"""The line against the public-domain network engine (EPANET 2.2, by `wntr`).

With the engine's own friction law and its g (32.2 ft/s2) both solve the same equations; the engine stops
when flows change by less than 1e-5 of their sum.
"""

import dataclasses

import numpy as np
import pytest

from mistcalc.line.network import solve
from tests.line import engine, networks

BAR = 1e5
ENGINE_LAW = {"friction": "swamee-jain-cubic", "gravity": networks.ENGINE_GRAVITY}

# Typed from EPANET 2.2 runs made once outside this project: Darcy-Weisbach, roughness 1.5 um, 998.2 kg/m3,
# 1.0034e-6 m2/s, heads converted with 9.80665 m/s2 (so its friction is 0.08 % low), no fitting loss:
# (line, lowest nozzle pressure bar, least flow L/min, total L/min)
RECORDED = [
    ({"bar": 70, "litres_per_minute": 0.1, "bore": 7.747e-3}, 69.6405, 0.099743, 3.99234),
    ({"bar": 4, "litres_per_minute": 0.06, "bore": 4.318e-3}, 2.3810, 0.046291, 1.99382),
    ({"bar": 4, "litres_per_minute": 0.06, "bore": 4.318e-3, "ring": True}, 3.6677, 0.057454, 2.32205),
]


@pytest.mark.parametrize(("line", "lowest", "least", "total"), RECORDED)
def test_forty_nozzles_of_the_recorded_runs(line, lowest, least, total):
    solved = solve(networks.even(40, **line, friction="swamee-jain-cubic"))
    # 5e-4 on flow: the engine's g moves friction by 0.08 %, worth 2e-4; 1e-3 on pressure, twice that
    assert solved.nozzle_flow.min() / networks.LITRE_PER_MINUTE == pytest.approx(least, rel=5e-4)
    assert solved.nozzle_flow.sum() / networks.LITRE_PER_MINUTE == pytest.approx(total, rel=5e-4)
    assert solved.nozzle_gauge.min() / BAR == pytest.approx(lowest, rel=1e-3)
    # Churchill differs from that law between Re 2,000 and 4,000, by up to 5e-3 on flow in these lines
    churchill = solve(networks.even(40, **line))
    assert churchill.nozzle_flow.min() / networks.LITRE_PER_MINUTE == pytest.approx(least, rel=5e-3)


@pytest.mark.parametrize("line", [row[0] for row in RECORDED])
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
