"""How the runs of one lid lie on paper: directions, where each ladder may go, what a sheet shows of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, hypot

from mistcalc.drawing import line_geometry
from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.model.project import Patio, Run
from mistcalc.model.results import Layout, Line, Mark, RunLine
from mistcalc.model.run_extents import strip_corners

WALL = 0.15  # m: walls are drawn this thick; their true thickness does not matter to the marks


@dataclass(frozen=True)
class PlanRun:
    """One row, in plan metres. `ahead` goes from the datum along the run, `house` toward the house."""

    run: Run
    line: RunLine
    tube: tuple[Point, Point]  # as far as it lies
    depth: float  # m, of the lid over it, where it is deepest
    marks: tuple[Mark, ...]  # in the order of the tape
    ahead: Point
    house: Point
    ladder_behind: bool  # over the lid, because the open side belongs to a longer neighbour

    @property
    def second(self) -> bool:
        """Whether it is the second row of its run, which has the datum and the edge of the first."""
        return bool(self.line.of)

    @property
    def of(self) -> str:
        """The run it is a row of: its datum goes by that name."""
        return self.line.of or self.run.name

    @property
    def datum(self) -> Point:
        return self.line.datum_point

    @property
    def far(self) -> Point:
        """The other end of the open edge."""
        return line_geometry.moved(self.datum, self.ahead, self.run.length)

    @property
    def turn(self) -> float:
        """Direction from the datum along the run [degrees from the x axis]."""
        return angle(self.ahead)

    def ends(self) -> tuple[tuple[str, Point, Point], ...]:
        """(name as pieces of tube have it, tube end, direction outward) of both ends."""
        start, end = self.line.tube
        back = line_geometry.unit(end, start)
        return (
            (f"{self.run.name} start", start, back),
            (f"{self.run.name} end", end, (-back[0], -back[1])),
        )


def angle(direction: Point) -> float:
    return degrees(atan2(direction[1], direction[0])) % 360.0


def plan_runs(patio: Patio, layout: Layout, piped: Line) -> tuple[PlanRun, ...]:
    """Every row of a patio. At an inside corner the shorter run's ladder goes behind its tube, as a second
    row's always does."""
    behind = [False] * len(patio.runs)
    for index, this_run in enumerate(patio.runs):
        after = (index + 1) % len(patio.runs)
        if this_run.corner == "inside":
            behind[index if this_run.length < patio.runs[after].length else after] = True
    out = []
    for run, line in zip(patio.rows, layout.lid.rows, strict=True):
        n = patio.number_of(run.name)
        walked = line_geometry.unit(*line.edge)
        ahead = walked if line.datum_at_start else (-walked[0], -walked[1])
        marks = layout.marks_of(run.name)
        back = behind[n] or bool(line.of)
        house, tube = line_geometry.left(walked), piped.laid_tube(line)
        out.append(PlanRun(run, line, tube, max(patio.depths_over(n)), marks, ahead, house, back))
    return tuple(out)


def lid_boxes(patio: Patio, runs: tuple[PlanRun, ...]) -> list[Box]:
    """What the lid takes [m]: a rectangle round each run's strip, squares round its inside corners in it."""
    boxes = []
    for n, plan_run in enumerate(plan_run for plan_run in runs if not plan_run.second):
        start, walked = plan_run.line.edge[0], line_geometry.unit(*plan_run.line.edge)
        strip = strip_corners(patio, n)
        boxes.append(
            around(
                line_geometry.moved(line_geometry.moved(start, walked, along), plan_run.house, back)
                for along, back in strip
            )
        )
    return boxes


@dataclass(frozen=True)
class PlanWindow:
    """What one sheet shows of a lid: a window of the plan, and which marks stand on it.

    `run` "": the whole lid. Else a stretch of one run from `start` to `end` along.
    """

    window: Box
    run: str = ""
    start: float = 0.0
    end: float = 0.0
    number: int = 1
    of: int = 1
    backs: tuple[float, float] = (0.0, 0.0)  # how far behind the open edge a stretch begins and ends

    def shows(self, mark: Mark) -> bool:
        if not self.run:
            return True
        last = self.number == self.of
        low = self.start if self.number > 1 else -float("inf")
        return mark.run == self.run and low <= mark.along and (last or mark.along < self.end)

    def holds(self, point: Point, margin: float = 0.0) -> bool:
        box = self.window.grown(margin + line_geometry.NEAR)
        return box.left <= point[0] <= box.right and box.bottom <= point[1] <= box.top


def whole_plan_window(runs: tuple[PlanRun, ...], patio: Patio, beside: Sequence[Point] = ()) -> PlanWindow:
    """All of the lid, and the points of what is drawn beside it."""
    boxes = lid_boxes(patio, runs)
    corners = [*beside, *(corner for b in boxes for corner in ((b.left, b.bottom), (b.right, b.top)))]
    return PlanWindow(around(corners).grown(2 * WALL))


def run_windows(plan_run: PlanRun, count: int, deep: float = float("inf")) -> tuple[PlanWindow, ...]:
    """One run cut into `count` stretches, each cut moved midway between two marks; of a lid deeper than
    `deep` [m] a strip that deep along the row."""
    cuts = [0.0]
    alongs = [mark.along for mark in plan_run.marks]
    for index in range(1, count):
        wanted = plan_run.run.length * index / count
        middles = [(a + b) / 2 for a, b in pairwise(alongs)]
        near = min(middles, key=lambda m: abs(m - wanted), default=wanted)
        cuts.append(near if abs(near - wanted) < plan_run.run.length / count / 4 else wanted)
    cuts.append(plan_run.run.length)
    low_back, high_back = strip_of(plan_run, deep)
    parts = []
    for number, (low, high) in enumerate(pairwise(cuts), 1):
        first = low - (4 * WALL if number == 1 else 0.0)
        last = high + (4 * WALL if number == count else 0.0)
        corners = [
            line_geometry.moved(
                line_geometry.moved(plan_run.datum, plan_run.ahead, along), plan_run.house, back
            )
            for along in (first, last)
            for back in (low_back, high_back)
        ]
        window = around(corners)
        backs = (low_back, high_back)
        parts.append(PlanWindow(window, plan_run.run.name, low, high, number, count, backs))
    return tuple(parts)


def strip_of(plan_run: PlanRun, deep: float) -> tuple[float, float]:
    """From the open edge to a little past the house; or so much of it as is shown, with the row in it [m]."""
    first, last = -2 * WALL, plan_run.depth + 2 * WALL
    if last - first <= deep:
        return first, last
    low = min(max(first, plan_run.line.back - deep / 3), last - deep)
    return low, low + deep


def gap(points: list[Point]) -> float:
    """The least distance between neighbours, infinity for fewer than two."""
    return min((hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)), default=float("inf"))
