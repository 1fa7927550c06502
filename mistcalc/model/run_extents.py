"""Where on a run something may be: the one rule for files, page and lid. Lengths in metres.

Round an inside corner (the lid wraps a court) lid and tube go on past the end of the open edge, the lid by
its depth, the tube by its distance behind the next run's edge. At an outside corner the lid ends where the
edge does, and the tube turns that distance before.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Literal

from mistcalc.model.project import End, Patio, Run

Corner = Literal["inside", "outside", "straight"] | None  # straight: the edge goes on, the lid is another
Reach = tuple[float, float]

SAME = 1e-7  # m: two lengths nearer than this are one length


def lid_reach(length: float, corners: tuple[Corner, Corner], depths: Reach) -> Reach:
    """From where to where there is lid, from the run's start in the direction walked: the run, and the
    squares round its inside corners. `corners`: at its start and its end. `depths`: of the lid over the runs
    before and after."""
    (before, after), (deep_before, deep_after) = corners, depths
    return (-deep_before if before == "inside" else 0.0, length + (deep_after if after == "inside" else 0.0))


def back_reach(length: float, corners: tuple[Corner, Corner], depths: Reach) -> Reach:
    """From where to where the back of the lid goes, as `lid_reach`: longer than the run round an inside
    corner, shorter round an outside one (the second may then be less than the first)."""
    turn = {"inside": 1.0, "outside": -1.0, "straight": 0.0, None: 0.0}
    return -turn[corners[0]] * depths[0] + 0.0, length + turn[corners[1]] * depths[1]


def tube_reach(length: float, corners: tuple[Corner, Corner], backs: tuple[float, float]) -> Reach:
    """From where to where there is tube, as `lid_reach`. `backs`: how far the tubes of the runs before and
    after lie behind their edges. Where that is more than the run has, the second is less than the first."""
    (before, after), (back_before, back_after) = corners, backs
    low = {"inside": -back_before, "outside": back_before}.get(before or "", 0.0)
    high = {"inside": back_after, "outside": -back_after}.get(after or "", 0.0)
    return low, length + high


def framed_reach(
    length: float, corners: tuple[Corner, Corner], depths: Reach, covered: tuple[bool, bool]
) -> Reach:
    """From where to where the run's members lie, as `lid_reach`: each corner square has one run's members.
    `covered`: whether the run before covers the square before, and this run the one after."""
    (before, after), (taken, takes), (deep_before, deep_after) = corners, covered, depths
    low = {"inside": 0.0 if taken else -deep_before, "outside": deep_before if taken else 0.0}
    high = {"inside": deep_after if takes else 0.0, "outside": 0.0 if takes else -deep_after}
    return low.get(before or "", 0.0), length + high.get(after or "", 0.0)


def from_datum(reach: Reach, length: float, datum: End) -> Reach:
    """The same, along the tape from the run's datum."""
    return reach if datum == "start" else (length - reach[1], length - reach[0])


def corners(patio: Patio, n: int) -> tuple[Corner, Corner]:
    """The corners at the start and at the end of the patio's run number `n`."""
    return patio.runs[n - 1].corner, patio.runs[n].corner  # before the first is the last: None, but in a ring


def depths_beside(patio: Patio, n: int) -> Reach:
    """Depth of the lid over the runs before and after the patio's run number `n`."""
    return patio.depth_over(n - 1), patio.depth_over(n + 1)


def lid_from_start(patio: Patio, n: int) -> Reach:
    """`lid_reach` of the patio's run number `n`."""
    return lid_reach(patio.runs[n].length, corners(patio, n), depths_beside(patio, n))


def back_from_start(patio: Patio, n: int) -> Reach:
    """`back_reach` of the patio's run number `n`."""
    return back_reach(patio.runs[n].length, corners(patio, n), depths_beside(patio, n))


def lid_along(patio: Patio, n: int) -> Reach:
    """The same along the run's tape."""
    return from_datum(lid_from_start(patio, n), patio.runs[n].length, patio.runs[n].datum.end)


def framed_from_start(patio: Patio, n: int) -> Reach:
    """`framed_reach` of the patio's run number `n`."""
    run = patio.runs[n]
    covered = patio.runs[n - 1].framing.covers_corner, run.framing.covers_corner
    return framed_reach(run.length, corners(patio, n), depths_beside(patio, n), covered)


def change_of_framing(patio: Patio, n: int) -> tuple[Run, float] | None:
    """The run and the distance from its start at which members change direction round the corner after the
    patio's run number `n`."""
    next_one = (n + 1) % len(patio.runs)
    before, after = patio.runs[n], patio.runs[next_one]
    turns = before.corner != "straight"
    if before.corner is None or turns == (before.framing.lies != after.framing.lies):
        return None  # across on one run and along on the next: round a corner the same direction in plan
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
