"""What a lot of a fleet costs, a distinct one and a repeated one, in time and in memory: ratios in one run.

Seconds are printed with -s, never asserted. The aim is 1.0 s for a distinct lot and 5 ms for a repeat on a
core that takes 50 ms for 1,000 plumes: twenty of them, and a tenth of one. docs/scale.md has what is printed.
"""

import csv
import subprocess
import sys
import time

import pytest

from mistcalc import design
from mistcalc.design.lot import lot_answer
from mistcalc.files import climate_path, read_climate, read_project
from mistcalc.fleet import FleetWish, run_fleet
from tests.benchmarks.test_afternoon_speed import spray
from tests.benchmarks.timing import best
from tests.fleet.subdivision import plans, subdivision, table
from tests.terminal import ENVIRONMENT

pytestmark = pytest.mark.benchmark
PEAK = """
import sys
from pathlib import Path
from mistcalc.fleet import FleetWish, run_fleet
if __name__ == "__main__":
    run_fleet(FleetWish(Path(sys.argv[1]), Path(sys.argv[2]), processes=1))
    print(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0])  # kB, of this program alone
"""


def test_a_distinct_lot_costs_twenty_thousand_plumes_at_most(tmp_path):
    weather, costs = read_climate(climate_path("el-paso", None)), {}
    thousand = best(spray(1000), 7)
    for plan in plans(tmp_path):
        project = read_project(tmp_path / plan)

        def one(project=project):
            for stage in (design.lay, design.solve_line, design.afternoons, design.pressure_test_plan,
                          design.wind_sweep_findings, design.outdoor_conditions):  # fmt: skip
                stage.cache_clear()
            lot_answer(project, weather)

        costs[plan] = best(one, 2)
    told = ", ".join(f"{plan} {cost:.2f} s" for plan, cost in costs.items())
    print(f"\n{told}; 1,000 plumes {thousand * 1e3:.0f} ms: x{max(costs.values()) / thousand:.1f} at most")
    assert max(costs.values()) <= 20 * thousand


def repeated(folder, rows):
    """A table of so many rows, all of them of the same few designs."""
    with (folder / "lots.csv").open(encoding="utf-8", newline="") as stream:
        heads, *lots = csv.reader(stream)
    return table(folder / f"{rows}.csv", heads, ([n + 1, *lots[n % len(lots)][1:]] for n in range(rows)))


def test_a_repeat_costs_a_tenth_of_a_thousand_plumes_and_memory_stays_flat(tmp_path):
    subdivision(tmp_path, 12)
    out = tmp_path / "out"
    run_fleet(FleetWish(tmp_path / "lots.csv", out, processes=2))
    thousand, took, peaks = best(spray(1000), 7), {}, {}
    for rows in (100, 4000):
        wish = FleetWish(repeated(tmp_path, rows), out, processes=1)
        took[rows] = best(lambda wish=wish: run_fleet(wish), 2)
        command = [sys.executable, "-c", PEAK, str(wish.lots), str(out)]
        done = subprocess.run(command, env=ENVIRONMENT, capture_output=True, text=True, check=True)
        peaks[rows] = int(done.stdout) / 1024
    repeat = (took[4000] - took[100]) / 3900
    print(
        f"\na repeat {repeat * 1e3:.2f} ms; memory {peaks[100]:.0f} MB for 100, {peaks[4000]:.0f} for 4,000"
    )
    assert repeat <= 0.1 * thousand
    assert peaks[4000] <= 1.2 * peaks[100]


def test_two_processes_do_the_work_of_nearly_two(tmp_path):
    """With nothing else running: two cores of their own."""
    subdivision(tmp_path, 24)
    took = {}
    for processes in (1, 2):
        begun = time.perf_counter()
        run_fleet(FleetWish(tmp_path / "lots.csv", tmp_path / f"out{processes}", processes=processes))
        took[processes] = time.perf_counter() - begun
    print(f"\none process {took[1]:.1f} s, two {took[2]:.1f} s: x{took[1] / took[2]:.2f}")
    assert took[1] >= 1.7 * took[2]
