"""How high the lid hangs where it slopes along its runs. All lengths along a run are the tape's, pulled along
the slope; past the run's ends, over a corner, the lid lies level. And how high the ends of tubes lie, from
what each tube is said to rise. Metres.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate, pairwise

from mistcalc.model.project import Patio, Run

TAPE = 0.025  # m: what is measured round a ring may be out by an inch

Join = tuple[str, str, float | None]  # from, to, rise [m]; None: nobody said


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


def node_heights(joins: Sequence[Join]) -> tuple[dict[str, dict[str, float]], list[tuple[int, float]]]:
    """Heights [m] of everything joined, and where a ring does not close.

    A rise nobody stated is level, unless the tube closes a ring: then it rises by what its ends differ. So
    stated rises are laid first. Returns ({name: {everything joined to it: height}}, [(index of a stated join
    that closes a ring and is out by more than an inch, what it would have to rise)]).
    """
    group: dict[str, dict[str, float]] = {}
    clashes = []
    for n, (start, end, rise) in sorted(enumerate(joins), key=lambda join: join[1][2] is None):
        start_group, other = group.setdefault(start, {start: 0.0}), group.setdefault(end, {end: 0.0})
        if start_group is other:
            needed = start_group[end] - start_group[start]
            if rise is not None and abs(needed - rise) > TAPE:
                clashes.append((n, needed))
            continue
        shift = start_group[start] + (rise or 0.0) - other[end]
        for name, height in other.items():
            start_group[name] = height + shift
            group[name] = start_group
    return group, clashes
