"""The patio as air sees it: openings, volume, and how each run's line lies to the wind.

Plan coordinates as in model/results.py. A wind direction in plan is the angle, counter-clockwise from +x,
of the way the air MOVES.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations

import numpy as np

from mistcalc.cooling.house_blocks import Barrier, Block, barriers, blocks_of_house
from mistcalc.model.lid_heights import mean_height
from mistcalc.model.project import Patio
from mistcalc.model.results import Layout, RunLine

SEATED = 1.1  # m, height of a seated head (ISO 7726 names 1.1 m for a seated person's head)
STANDING = 1.7  # m, of a standing head (ISO 7726)
SAME = 1e-6  # m: nearer than that is rounding
BESIDE_LINE = 0.6  # m inside the tube: the place called "near the line"


@dataclass(frozen=True, slots=True)
class Opening:
    """One open side in plan, its area [m2] and the direction that points out of the patio, a unit vector."""

    side: tuple[tuple[float, float], tuple[float, float]]
    area: float
    outward: tuple[float, float]


@dataclass(frozen=True, slots=True)
class NozzleRow:
    """One run that carries nozzles. `along` and `inward` are unit vectors; `first` is its tube's start;
    nozzles lie at `places` (metres from `first` along the tube)."""

    name: str
    first: tuple[float, float]
    along: tuple[float, float]
    inward: tuple[float, float]
    places: tuple[float, ...]
    outside: float  # m from tube out to the open edge
    depth: float  # m from tube in to the house wall

    def point(self, along: float, inside: float) -> tuple[float, float]:
        """In plan: `along` from the tube's start, `inside` toward the house from the tube [m]."""
        x, y = (self.first[i] + along * self.along[i] + inside * self.inward[i] for i in (0, 1))
        return x, y


@dataclass(frozen=True, slots=True)
class PatioGeometry:
    volume: float  # m3
    height: float  # m, floor to lid
    clear_height: float  # m, of the openings (below an edge beam)
    openings: tuple[Opening, ...]
    walls: tuple[tuple[tuple[float, float], tuple[float, float]], ...]
    strips: tuple[NozzleRow, ...]
    seats: tuple[tuple[float, float], ...]
    far_points: tuple[tuple[float, float], ...]  # of the lid, farthest from any mark: one, or several alike
    outline: tuple[tuple[float, float], ...]  # of the lid
    house: tuple[Block, ...] = ()
    screens: tuple[Barrier, ...] = ()

    @property
    def open_area(self) -> float:
        """m2, as cold air that runs out meets it: from two edges that meet in an inner corner it leaves by
        the line across, for what comes from one is in the way of the other's."""
        return sum(o.area for o in self.openings) - self.clear_height * _cut_off(self.openings)

    @property
    def nozzles(self) -> int:
        return sum(len(s.places) for s in self.strips)


@lru_cache(maxsize=64)
def geometry_of(patio: Patio, layout: Layout) -> PatioGeometry:
    """Everything about the patio that the balance of its air needs, from the plan."""
    height = mean_height(patio)
    clear = height - patio.edge_beam.drop
    openings = tuple(
        Opening((a, b), _length(a, b) * clear, _outward(a, b))
        for a, b in layout.lid.open_edges
        if _length(a, b) > 0
    )
    laid = [(patio.number_of(line.name), line) for line in layout.lid.rows]
    rows = [(n, row) for n, line in laid if (row := _strip(line, patio.depth_over(n), layout)).places]
    first = [(n, row) for n, row in rows if row.name == patio.runs[n].name] or rows
    seats = tuple(seat.point for seat in layout.lid.seats)
    return PatioGeometry(
        volume=layout.lid.area * height,
        height=height,
        clear_height=clear,
        openings=openings,
        walls=layout.lid.walls,
        strips=tuple(row for _, row in rows),
        seats=seats or tuple(_mid_depth(row, patio.depth_over(n)) for n, row in first),
        far_points=_farthest(layout),
        outline=layout.lid.outline,
        house=blocks_of_house(patio, layout.lid),
        screens=barriers(layout.lid),
    )


def _cut_off(openings: tuple[Opening, ...]) -> float:
    """How much shorter [m] the lines across inner corners are than the edges that meet there; an edge with an
    inner corner at both ends gives half of itself to each."""
    edges = [np.array(opening.side) for opening in openings]
    while met := next(_meeting(edges, lambda turn: abs(turn) < SAME), None):
        first, then = met  # one edge in two pieces
        edges = [edge for edge in edges if edge is not first and edge is not then]
        edges.append(np.array([first[0], then[1]]))
    corners = list(_meeting(edges, lambda turn: turn < -SAME))
    cut = 0.0
    for corner in corners:
        arms = [np.diff(e, axis=0)[0] / sum(e is one for pair in corners for one in pair) for e in corner]
        cut += float(sum(np.hypot(*arm) for arm in arms) - np.hypot(*sum(arms)))
    return cut


def _meeting(
    edges: list[np.ndarray], wanted: Callable[[float], bool]
) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Edges of which one ends where the next begins, the turn there (its sine, left above 0) as wanted."""
    for first, then in permutations(edges, 2):
        (ax, ay), (bx, by) = (edge[1] - edge[0] for edge in (first, then))
        turn = (ax * by - ay * bx) / (np.hypot(ax, ay) * np.hypot(bx, by))
        if np.abs(first[1] - then[0]).max() < SAME and wanted(float(turn)):
            yield first, then


def _length(a: tuple[float, float], b: tuple[float, float]) -> float:
    return float(np.hypot(b[0] - a[0], b[1] - a[1]))


def _outward(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    """Open edges are walked with the house on the left, so out is to the right."""
    size = _length(a, b)
    return ((b[1] - a[1]) / size, -(b[0] - a[0]) / size)


def _strip(run: RunLine, depth: float, layout: Layout) -> NozzleRow:
    (x0, y0), (x1, y1) = run.tube
    size = _length(*run.tube) or 1.0
    along = ((x1 - x0) / size, (y1 - y0) / size)
    places = tuple(
        (m.point[0] - x0) * along[0] + (m.point[1] - y0) * along[1] for m in layout.marks if m.run == run.name
    )
    return NozzleRow(
        name=run.name,
        first=(x0, y0),
        along=along,
        inward=(-along[1], along[0]),
        places=tuple(sorted(places)),
        outside=run.back,
        depth=depth - run.back,
    )


def _mid_depth(strip: NozzleRow, depth: float) -> tuple[float, float]:
    """No seats given: one in the middle of the run's nozzles, half way to the house."""
    return strip.point((strip.places[0] + strip.places[-1]) / 2, depth / 2 - strip.outside)


def _farthest(layout: Layout) -> tuple[tuple[float, float], ...]:
    """The points of the lid farthest in plan from any mark, on a grid of about 0.25 m."""
    outline = np.asarray(layout.lid.outline, dtype=float)
    low, high = outline.min(axis=0), outline.max(axis=0)
    counts = np.clip(((high - low) / 0.25 + SAME).astype(int) + 1, 2, 200)
    x, y = np.meshgrid(*(np.linspace(low[i], high[i], counts[i]) for i in (0, 1)), indexing="ij")
    nudges = [(x.ravel() + dx, y.ravel() + dy) for dx in (-SAME, SAME) for dy in (-SAME, SAME)]
    inside = np.any([inside_of(*nudged, outline) for nudged in nudges], axis=0)  # with its edge
    points = np.vstack([np.column_stack([x.ravel(), y.ravel()])[inside], outline])
    if not layout.marks:
        return ((float(points[0, 0]), float(points[0, 1])),)
    marks = np.asarray([m.point for m in layout.marks])
    gap = np.full(len(points), np.inf)
    for mark in marks:  # a loop keeps memory small: 40,000 points x 2,000 marks would not be
        gap = np.minimum(gap, np.hypot(*(points - mark).T))
    best = points[gap >= gap.max() - SAME]
    _, which = np.unique(np.round(best, 5), axis=0, return_index=True)
    return tuple((x, y) for x, y in best[which].tolist())


def inside_of(x: np.ndarray, y: np.ndarray, outline: np.ndarray) -> np.ndarray:
    """Which points lie inside a closed polygon [corner, 2], by the even-odd rule."""
    inside = np.zeros(x.shape, dtype=bool)
    x0, y0 = outline[-1]
    for x1, y1 in outline:
        if y1 != y0:
            inside ^= ((y0 > y) != (y1 > y)) & (x < (x1 - x0) * (y - y0) / (y1 - y0) + x0)
        x0, y0 = x1, y1
    return inside
