"""The one size of hole a patio is drilled with: one bit in the drill, one number on every sheet."""

from __future__ import annotations

from mistcalc.model.project import Patio
from mistcalc.model.results import Line
from mistcalc.units import System
from mistcalc.units.stock_sizes import drill_size_for


def drill_size(patio: Patio, line: Line, units: System) -> float:
    """The hole [m] stated for a patio's marks, or the bit its most moving stub needs if more."""
    runs = (run for run in line.duty.tube.runs if run.patio == patio.name and run.far_mark)
    return max((patio.marks.hole, *(drill_size_for(run.hole, units) for run in runs)))


def reaches_farther(patio: Patio, line: Line, units: System) -> float:
    """By how much [m] the edge of a hole as drilled lies beyond that of one as stated."""
    return (drill_size(patio, line, units) - patio.marks.hole) / 2
