"""How high the lid hangs where it slopes along its runs. All lengths along a run are the tape's, pulled along
the slope; past the run's ends, over a corner, the lid lies level. Metres.
"""

from __future__ import annotations

import math
from itertools import accumulate, pairwise

from mistcalc.model.project import Patio, Run


def run_heights(patio: Patio) -> tuple[tuple[float, float], ...]:
    """Floor to framing at the start and the end of each run; the first starts at the patio's height."""
    return tuple(pairwise(accumulate((run.rise for run in patio.runs), initial=patio.height)))


def height_at(patio: Patio, n: int, from_start: float) -> float:
    """Floor to framing over run number `n`, `from_start` along it."""
    return run_heights(patio)[n][0] + risen(patio.runs[n].rise, patio.runs[n].length, from_start)


def risen(rise: float, length: float, from_start: float) -> float:
    """How far a run has risen so far from its start."""
    return rise * min(max(from_start / length, 0.0), 1.0) if rise else 0.0


def level_distance(run: Run, along: float) -> float:
    """How far from its datum something lies in level measure, that lies `along` the tape."""
    if not run.rise:
        return along
    on_slope = min(max(along, 0.0), run.length)
    return along - on_slope + on_slope * math.sqrt(1.0 - (run.rise / run.length) ** 2)


def lowest_and_highest(patio: Patio) -> tuple[float, float]:
    ends = [height for pair in run_heights(patio) for height in pair]
    return min(ends), max(ends)


def mean_height(patio: Patio) -> float:
    """Floor to framing, over all of the lid: for the air under it."""
    if not any(run.rise for run in patio.runs):
        return patio.height
    areas = [run.length * patio.depth_over(n) for n, run in enumerate(patio.runs)]
    middles = [(start + end) / 2 for start, end in run_heights(patio)]
    return sum(a * h for a, h in zip(areas, middles, strict=True)) / sum(areas)
