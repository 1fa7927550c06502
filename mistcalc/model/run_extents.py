"""Where on a run something may be: the one rule for files, page and lid. Lengths in metres.

Round an inside corner (the lid wraps a court) lid and tube go on past the end of the open edge, the lid by
its depth, the tube by its distance behind the next run's edge. At an outside corner the lid ends where the
edge does, and the tube turns that distance before. At a bend two runs meet on the line that halves it, and
what lies behind the edge goes on past it, or stops short, by less.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from mistcalc.model.project import Corner, End, Patio, Run

Reach = tuple[float, float]
Spreads = tuple[float, float]  # at a run's start and at its end, as `spread_of` has it

SAME = 1e-7  # m: two lengths nearer than this are one length
SQUARE = 1.0  # the spread of a corner


def spread_of(corner: Corner | None, bend: float) -> float:
    """How far the lid goes on past a run's end there for each metre back from its edge: 1 at an inside
    corner, -1 at an outside one, less at a bend of `bend` rad, 0 straight on and where the lid ends."""
    if corner in (None, "straight"):
        return 0.0
    size = math.tan(bend / 2) if corner.endswith("bend") else SQUARE
    return size if corner.startswith("inside") else -size


def is_square(spread: float) -> bool:
    """Whether a corner is a right angle: one run's members lie in its square, and no line halves it."""
    return abs(spread) == SQUARE


def lid_reach(length: float, spreads: Spreads, depths: Reach) -> Reach:
    """From where to where there is lid, from the run's start in the direction walked: the run, and what goes
    on past its ends, squares round inside corners above all. `depths`: of the lid over the runs before and
    after, where they meet it."""
    return min(0.0, -spreads[0] * depths[0]), length + max(0.0, spreads[1] * depths[1])


def back_reach(length: float, spreads: Spreads, depths: Reach) -> Reach:
    """From where to where the back of the lid goes, as `lid_reach`: longer than the run round an inside
    corner, shorter round an outside one (the second may then be less than the first)."""
    return -spreads[0] * depths[0] + 0.0, length + spreads[1] * depths[1]


tube_reach = back_reach  # with how far the tubes of the runs before and after lie behind their edges


def framed_reach(length: float, spreads: Spreads, depths: Reach, covered: tuple[bool, bool]) -> Reach:
    """From where to where the run's members lie, as `lid_reach`: each corner square has one run's members; at
    a bend each run's go to the line that halves it, told by its place on the edge. `covered`: whether the
    run before covers the square before, and this run the one after."""
    (before, after), (taken, takes), (deep_before, deep_after) = spreads, covered, depths
    low = high = 0.0
    if is_square(before) and taken == (before < 0):
        low = -before * deep_before
    if is_square(after) and takes == (after > 0):
        high = after * deep_after
    return low, length + high


def from_datum(reach: Reach, length: float, datum: End) -> Reach:
    """The same, along the tape from the run's datum."""
    return reach if datum == "start" else (length - reach[1], length - reach[0])


def corners(patio: Patio, n: int) -> tuple[Corner | None, Corner | None]:
    """The corners at the start and at the end of the patio's run number `n`."""
    return patio.runs[n - 1].corner, patio.runs[n].corner  # before the first is the last: None, but in a ring


def spreads(patio: Patio, n: int) -> Spreads:
    """`spread_of` the same."""
    before, run = patio.runs[n - 1], patio.runs[n]
    return spread_of(before.corner, before.bend), spread_of(run.corner, run.bend)


def slants(patio: Patio, n: int) -> Spreads:
    """How far the line that halves a bend leans past the run's start and its end for each metre back; 0 where
    none is halved."""
    before, after = spreads(patio, n)
    return (0.0 if is_square(before) else before), (0.0 if is_square(after) else after)


def depths_beside(patio: Patio, n: int) -> Reach:
    """Depth of the lid over the runs before and after the patio's run number `n`, where they meet it."""
    return patio.depths_over(n - 1)[1], patio.depths_over(n + 1)[0]


def lid_from_start(patio: Patio, n: int) -> Reach:
    """`lid_reach` of the patio's run number `n`."""
    return lid_reach(patio.runs[n].length, spreads(patio, n), depths_beside(patio, n))


def back_from_start(patio: Patio, n: int) -> Reach:
    """`back_reach` of the patio's run number `n`."""
    return back_reach(patio.runs[n].length, spreads(patio, n), depths_beside(patio, n))


def strip_corners(patio: Patio, n: int) -> tuple[Reach, ...]:
    """The lid over the patio's run number `n`, squares round its inside corners in it: its corners as (from
    the start, back from the edge), in the order walked and home along the back."""
    (before, after), (start, end), (low, high) = (
        spreads(patio, n),
        patio.depths_over(n),
        lid_from_start(patio, n),
    )
    length = patio.runs[n].length
    first = (low, low) if is_square(before) else (0.0, -before * start)
    last = (high, high) if is_square(after) else (length, length + after * end)
    return (first[0], 0.0), (last[0], 0.0), (last[1], end), (first[1], start)


def depth_along(patio: Patio, n: int, from_start: float) -> float:
    """Open edge to house wall over a place of the patio's run number `n`; past the wall's ends as there."""
    _, _, end, start = strip_corners(patio, n)
    return depth_before_wall((start, end), from_start)


def depth_before_wall(wall: tuple[Reach, Reach], from_start: float) -> float:
    """The same of a wall by its ends, each (from the run's start, back from its edge)."""
    (first, start), (last, end) = wall
    if start == end or last <= first:  # a wall turned inside out is found elsewhere
        return (start + end) / 2
    return start + min(max((from_start - first) / (last - first), 0.0), 1.0) * (end - start)


def lid_along(patio: Patio, n: int) -> Reach:
    """The same along the run's tape."""
    return from_datum(lid_from_start(patio, n), patio.runs[n].length, patio.runs[n].datum.end)


def framed_from_start(patio: Patio, n: int) -> Reach:
    """`framed_reach` of the patio's run number `n`."""
    run = patio.runs[n]
    covered = patio.runs[n - 1].framing.covers_corner, run.framing.covers_corner
    return framed_reach(run.length, spreads(patio, n), depths_beside(patio, n), covered)


def change_of_framing(patio: Patio, n: int) -> tuple[Run, float] | None:
    """The run and the distance from its start at which members change direction round the corner after the
    patio's run number `n`."""
    next_one = (n + 1) % len(patio.runs)
    before, after = patio.runs[n], patio.runs[next_one]
    other_way = before.framing.lies != after.framing.lies
    # across on one run and along on the next: round a corner the same direction in plan, never round a bend
    same = {"straight": not other_way, "inside": other_way, "outside": other_way}
    if before.corner is None or same.get(before.corner, False):
        return None
    if before.framing.covers_corner:
        return after, framed_from_start(patio, next_one)[0]
    return before, framed_from_start(patio, n)[1]


def as_one(alongs: Sequence[float], grid: float) -> Iterator[tuple[int, int]]:
    """Which of several places (by index, nearest the datum first) a tape read to `grid` cannot tell from
    the one before."""
    order = sorted(range(len(alongs)), key=alongs.__getitem__)
    for previous, other in pairwise(order):
        if alongs[other] - alongs[previous] < grid - SAME:
            yield previous, other
