"""Time of the line's solvers against the public-domain network engine (EPANET 2.2): ratios in one run.

The engine's core alone is timed: its file is read once and each solve starts from its own first flows. Time
is processor time of this process and the best of many, taken in turns, so that a busy machine slows both;
it is printed with -s, never asserted.
"""

import time

import numpy as np
import pytest

from mistcalc.line.network.batch_solver import solve_many
from mistcalc.line.network.solver import prepare, solve
from tests.line import engine, networks

pytestmark = pytest.mark.benchmark

MAINS, PUMP = (4, 0.06, 4.318e-3), (70, 0.1, 7.747e-3)  # bar, L/min a nozzle, bore
LINES = [(*MAINS, False), (*MAINS, True), (*PUMP, False), (*PUMP, True)]  # dead ends and rings


def best(rounds, **calls):
    """Least time of each call [s]."""
    times = dict.fromkeys(calls, float("inf"))
    for _ in range(rounds):
        for name, call in calls.items():
            start = time.process_time()
            call()
            times[name] = min(times[name], time.process_time() - start)
    print("".join(f"\n{name} {seconds * 1e6:.0f} us" for name, seconds in times.items()))
    return times


def test_forty_nozzles_take_a_tenth_of_a_wntr_run(tmp_path):
    import wntr

    net = networks.even(40, *MAINS, gravity=networks.ENGINE_GRAVITY)
    model, ready = engine.model(net, tmp_path), prepare(net)
    simulator = wntr.sim.EpanetSimulator(model)
    times = best(5, prepared=lambda: solve(ready), theirs=lambda: simulator.run_sim(str(tmp_path / "run")))
    assert times["prepared"] <= times["theirs"] / 10


@pytest.mark.parametrize(("bar", "flow", "bore", "ring"), LINES)
def test_forty_nozzles_against_the_core(bar, flow, bore, ring, tmp_path):
    # each with its own law: ours is Churchill's unless a check against the engine is wanted
    net = networks.even(40, bar, flow, bore, ring=ring, gravity=networks.ENGINE_GRAVITY)
    ready = prepare(net)
    with engine.core(net, tmp_path) as core:
        times = best(200, core=core, prepared=lambda: solve(ready), built=lambda: solve(net))
    print(f"prepared {times['prepared'] / times['core']:.2f}, built {times['built'] / times['core']:.2f}")
    assert times["prepared"] <= 2.5 * times["core"]
    assert times["built"] <= 5 * times["core"]


@pytest.mark.parametrize(("bar", "flow", "bore", "ring"), LINES)
def test_a_thousand_variants_of_forty_nozzles(bar, flow, bore, ring, tmp_path):
    net, variants = networks.even(40, bar, flow, bore, ring=ring), 1000
    rng = np.random.default_rng(1)
    worn = np.exp(0.05 * rng.standard_normal((40, variants)))
    changed = {
        "coefficient": net.coefficient[:, None] * worn * (rng.random((40, variants)) > 0.1),
        "bore": bore * (1 + 0.03 * rng.standard_normal((1, variants))),
        "viscosity": net.viscosity * (1 + 0.1 * rng.random((1, variants))),
    }
    with engine.core(net, tmp_path) as core:
        times = best(20, core=core, batch=lambda: solve_many(net, **changed))
    each = times["batch"] / variants
    print(f"each {each * 1e6:.1f} us, {each / times['core']:.3f} of the core")
    # 30 us where the core's one solve takes 300 us
    assert each <= times["core"] / 10


def test_a_variant_takes_a_tenth_of_a_single_solve():
    net = networks.even(40, *MAINS)
    coefficient = net.coefficient[:, None] * np.linspace(0.8, 1.2, 1000)
    ready = prepare(net)
    times = best(10, single=lambda: solve(ready), batch=lambda: solve_many(net, coefficient=coefficient))
    assert times["batch"] / 1000 <= times["single"] / 10


def test_a_ring_of_a_thousand_nozzles_against_the_core(tmp_path):
    net = networks.even(1000, 70, 0.02, 12e-3, ring=True, gravity=networks.ENGINE_GRAVITY)
    ready = prepare(net)
    with engine.core(net, tmp_path) as core:
        times = best(8, core=core, prepared=lambda: solve(ready))
    print(f"{times['prepared'] / times['core']:.2f}")
    assert times["prepared"] <= 0.5 * times["core"]


def test_time_grows_as_the_line_does():
    short, long = (prepare(networks.even(n, 70, 0.02, 12e-3, ring=True)) for n in (1000, 10000))
    times = best(6, short=lambda: solve(short), long=lambda: solve(long))
    each = times["short"] / solve(short).iterations, times["long"] / solve(long).iterations
    print(f"per iteration {each[1] / each[0]:.1f}")
    assert each[1] <= 15 * each[0]
