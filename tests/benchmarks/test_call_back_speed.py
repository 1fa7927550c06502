"""Time of a call-back's table, and of an answer from it, against single solves: ratios in one run.

Seconds are printed with -s, never asserted. The aim is a table of 176,000 solves in 5 s on a core that solves
this line of 28 nozzles alone in 0.35 ms: 14,400 such solves, a twelfth of a single solve for each line in it.
An answer from the table is to take a tenth of that.
"""

import pytest

from mistcalc.line.diagnosis.fault_table import build_fault_table
from mistcalc.line.diagnosis.likely_causes import diagnose
from mistcalc.line.diagnosis.sound_line import fault_case
from mistcalc.line.network.solver import prepare, solve
from mistcalc.model.results import Readings
from tests.benchmarks.timing import best
from tests.line import call_backs

pytestmark = pytest.mark.benchmark


def test_a_table_costs_a_twelfth_of_its_solves_one_by_one():
    plumbing, line = call_backs.pump_line()
    case = fault_case(plumbing, line)
    ready = prepare(case.network)
    single = best(lambda: solve(ready), 300)
    table, whole = build_fault_table(case), best(lambda: build_fault_table(case), 2)
    solves = table.valid.size
    readings = Readings(gauge=case.gauge, meter=1.05 * case.design, near=case.design / 28)
    answer = best(lambda: diagnose(table, readings), 3)
    print(
        f"\nsingle solve {single * 1e3:.2f} ms; table of {solves:,} {whole:.1f} s,"
        f" {whole / single:,.0f} of them, {whole / solves * 1e6:.0f} us each;"
        f" an answer with what to read next {answer * 1e3:.0f} ms"
    )
    assert solves == 176_000 and table.valid.all()
    assert whole <= 14_400 * single
    assert answer <= 1_440 * single
