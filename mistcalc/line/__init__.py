"""The line: tubes, nozzles and supply solved together, and the numbers a fitter expects of them.

`network` solves arrays; `plumb` builds them from what people state and returns a Line; `duty` sizes the
pump set and rates the tube; `diagnose` says what readings on a running line speak for, `hold` what a gauge
must show on a line shut in. Numbers only: judgements live in `checks`.
"""

from mistcalc.line.diagnosis.fault_table import FaultTable, build_fault_table, sound_table
from mistcalc.line.diagnosis.from_site_log import call_backs, without_impossible_readings
from mistcalc.line.diagnosis.likely_causes import diagnose, expected_readings
from mistcalc.line.diagnosis.sound_line import fault_case
from mistcalc.line.pressure_test.from_site_log import pressure_bounds, pressure_tests
from mistcalc.line.pressure_test.test_plan import pressure_test_plan
from mistcalc.line.sizing.water_quality import water_use
from mistcalc.line.solution import solve_line
