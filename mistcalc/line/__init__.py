"""The line: tubes, nozzles and supply solved together, and the numbers a fitter expects of them.

`network` solves arrays; `plumb` builds them from what people state and returns a Line; `duty` sizes the
pump set and rates the tube; `diagnose` says what readings on a running line speak for. Numbers only:
judgements live in `checks`.
"""

from mistcalc.line.diagnose import diagnose, expected_readings
from mistcalc.line.plumb import plumb
from mistcalc.line.readings import FaultTable, fault_case, fault_table
from mistcalc.line.water_duty import water_use

__all__ = ["FaultTable", "diagnose", "expected_readings", "fault_case", "fault_table", "plumb", "water_use"]
