"""The line: tubes, nozzles and supply solved together, and the numbers a fitter expects of them.

`network` solves arrays; `plumb` builds them from what people state and returns a Line; `duty` sizes the
pump set and rates the tube. Numbers only: judgements live in `checks.line`.
"""

from mistcalc.line.plumb import plumb

__all__ = ["plumb"]
