"""The line: tubes, nozzles and supply solved together, and the numbers a fitter expects of them.

`network` solves arrays; `plumb` builds them from what people state and returns a Line; `duty` sizes the
pump set and rates the tube; `diagnose` says what readings on a running line speak for, `hold` what a gauge
must show on a line shut in. Numbers only: judgements live in `checks`.
"""

from mistcalc.line.call_back.case import fault_case
from mistcalc.line.call_back.diagnose import diagnose, expected_readings
from mistcalc.line.call_back.log import call_backs, possible_part
from mistcalc.line.call_back.readings import FaultTable, fault_table, sound_table
from mistcalc.line.hold_log import hold_bounds, holds
from mistcalc.line.hold_plan import hold_plan
from mistcalc.line.plumb import plumb
from mistcalc.line.water_duty import water_use

__all__ = [
    "FaultTable",
    "call_backs",
    "diagnose",
    "expected_readings",
    "fault_case",
    "fault_table",
    "hold_bounds",
    "hold_plan",
    "holds",
    "plumb",
    "possible_part",
    "sound_table",
    "water_use",
]
