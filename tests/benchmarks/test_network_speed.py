"""Time of one 40-nozzle solve against `wntr`, and of a tenfold line against itself: ratios in one run.

Seconds are printed with -s, never asserted.
"""

import time

import pytest
import wntr

from mistcalc.line.network import prepare, solve
from tests.line import engine, networks

pytestmark = pytest.mark.benchmark


def best(call, repeats):
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def test_forty_nozzles_take_a_tenth_of_a_wntr_run(tmp_path):
    net = networks.even(40, 4, 0.06, 4.318e-3, friction="swamee-jain-cubic", gravity=networks.ENGINE_GRAVITY)
    model = engine.model(net, tmp_path)

    def theirs():
        wntr.sim.EpanetSimulator(model).run_sim(file_prefix=str(tmp_path / "run"))

    theirs()
    built, run_sim = best(lambda: solve(net), 20), best(theirs, 5)
    ready = prepare(net)
    ours = best(lambda: solve(ready), 20)
    print(f"\nsolve {ours * 1e3:.2f} ms, with checks {built * 1e3:.2f} ms, run_sim {run_sim * 1e3:.1f} ms")
    assert ours <= run_sim / 10


def test_time_grows_as_the_line_does():
    short, long = (prepare(networks.even(n, 70, 0.02, 12e-3, ring=True)) for n in (1000, 10000))
    each = [best(lambda r=r: solve(r), 3) / solve(r).iterations for r in (short, long)]
    print(f"\nper iteration: 1,000 nozzles {each[0] * 1e3:.2f} ms, 10,000 nozzles {each[1] * 1e3:.2f} ms")
    assert each[1] <= 15 * each[0]
