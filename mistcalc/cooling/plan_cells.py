"""The patio and what stands round it as cells in plan, and what joins them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from mistcalc.cooling.house_blocks import Barrier, Point
from mistcalc.cooling.patio_geometry import SAME, PatioGeometry, inside_of

Side = tuple[Point, Point]
SIZE = 0.5  # m, of a cell at most, where that leaves no more than MOST of them along the patio
MOST = 40
FEW = 12
CRACKS = 0.02  # of a side that a screen shuts: none is tight
AROUND = 2.0  # of the house's height: how far round the patio the wind is followed


@dataclass(frozen=True)
class Faces:
    """Sides that two free cells share across one axis: the cells [face], length [m], distance between
    middles [m], and the share of it that is open to air (a screen may stand there)."""

    low: np.ndarray
    high: np.ndarray
    length: np.ndarray
    apart: np.ndarray
    open: np.ndarray


@dataclass(frozen=True)
class Held:
    """Which cells hold which points, in the order of points; several of one where it lies between them."""

    point: np.ndarray
    cell: np.ndarray

    @cached_property
    def share(self) -> np.ndarray:
        """Of its point, what each of these cells counts."""
        return (1 / np.bincount(self.point))[self.point]

    def mean(self, values: np.ndarray) -> np.ndarray:
        """Values [..., cell] at the points, [..., point]."""
        starts = np.flatnonzero(np.diff(self.point, prepend=-1))
        return np.asarray(np.add.reduceat(values[..., self.cell] * self.share, starts, axis=-1))

    def sum(self, values: np.ndarray, cells: int) -> np.ndarray:
        """What is at the points [point], in so many cells."""
        return np.bincount(self.cell, values[self.point] * self.share, cells)


@dataclass(frozen=True)
class Cells:
    """Rectangles between the lines x and y; cells are counted along y first. All flags [cell]."""

    x: np.ndarray
    y: np.ndarray
    lid: np.ndarray  # under the lid
    solid: np.ndarray  # in the house
    faces: tuple[Faces, Faces]  # across x, across y

    @cached_property
    def middle(self) -> tuple[np.ndarray, np.ndarray]:
        x, y = np.meshgrid(_middles(self.x), _middles(self.y), indexing="ij")
        return x.ravel(), y.ravel()

    @cached_property
    def area(self) -> np.ndarray:
        return np.outer(np.diff(self.x), np.diff(self.y)).ravel()

    def between(self, values: np.ndarray, x: np.ndarray, y: np.ndarray) -> np.ndarray:
        """Values of the cells under the lid [cell] at points under it, straight between middles."""
        spread = self._nearest_under.mean(values).reshape(len(self.x) - 1, len(self.y) - 1)
        (i, across), (j, along) = _place(_middles(self.x), x), _place(_middles(self.y), y)
        low = spread[i, j] * (1 - along) + spread[i, j + 1] * along
        high = spread[i + 1, j] * (1 - along) + spread[i + 1, j + 1] * along
        return low * (1 - across) + high * across

    @cached_property
    def _nearest_under(self) -> Held:
        """For every cell the one under the lid nearest to it."""
        return self.holding(np.column_stack(self.middle))

    def holding(self, points: np.ndarray) -> Held:
        """The cell under the lid nearest to each point [point, 2], counted under the lid alone; of a point on
        the line between some, each of those."""
        x, y = (middle[self.lid] for middle in self.middle)
        gap = np.hypot(points[:, :1] - x, points[:, 1:] - y)
        return Held(*np.nonzero(gap <= gap.min(axis=1, keepdims=True) + SAME))


def cells_of(ground: PatioGeometry) -> Cells:
    outline = np.asarray(ground.outline, dtype=float)
    tall = house_height(ground)
    corners = np.array([c for block in ground.house for c in block.corners]).reshape(-1, 2)
    screens = np.array([end for s in ground.screens for end in s.side]).reshape(-1, 2)
    lines = []
    for axis in (0, 1):
        low, high = outline[:, axis].min(), outline[:, axis].max()
        size = max(SIZE, (high - low) / MOST)
        reach = low - AROUND * tall, high + AROUND * tall
        others = [*corners[:, axis], *screens[:, axis], *reach]
        others = [s for s in others if reach[0] <= s <= reach[1]]
        stops = _distinct(outline[:, axis].tolist(), others, size / 10)
        lines.append(_lines(stops, size, (low, high)))
    x, y = lines
    mx, my = (m.ravel() for m in np.meshgrid(_middles(x), _middles(y), indexing="ij"))
    lid = inside_of(mx, my, outline)
    solid = np.zeros(lid.shape, dtype=bool)
    for block in ground.house:
        solid |= inside_of(mx, my, np.asarray(block.corners))
    solid &= ~lid
    return Cells(x, y, lid, solid, _faces(x, y, lid, solid, ground))


def house_height(ground: PatioGeometry) -> float:
    """m, of the tallest block; of the lid where there is no house."""
    return max((block.height for block in ground.house), default=ground.height)


def _distinct(outline: list[float], others: list[float], near: float) -> list[float]:
    """Where lines must stand: of places with no gap over `near` between them the mean, of the lid's own where
    there are any."""
    every = sorted([(place, True) for place in outline] + [(place, False) for place in others])
    groups = [every[:1]]
    for before, after in pairwise(every):
        if after[0] - before[0] > near + SAME:
            groups.append([])
        groups[-1].append(after)
    own = ([place for place, of_lid in group if of_lid] or [place for place, _ in group] for group in groups)
    return [float(np.mean(places)) for places in own]


def _lines(stops: list[float], size: float, lid: tuple[float, float]) -> np.ndarray:
    """Every stop, and even steps of `size` at most between them over the lid, FEW steps at most from stop to
    stop beside it."""
    pieces = []
    for a, b in pairwise(stops):
        steps = int(np.ceil((b - a) / size - 1e-9))
        over = a < lid[1] - size / 10 and b > lid[0] + size / 10
        pieces.append(np.linspace(a, b, (steps if over else min(steps, FEW)) + 1)[:-1])
    return np.append(np.concatenate(pieces), stops[-1])


def _place(middles: np.ndarray, at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Between which two of the middles a place lies: the lower one's number, and how far on."""
    low = np.clip(np.searchsorted(middles, at) - 1, 0, len(middles) - 2)
    return low, np.clip((at - middles[low]) / (middles[low + 1] - middles[low]), 0.0, 1.0)


def _middles(lines: np.ndarray) -> np.ndarray:
    return (lines[1:] + lines[:-1]) / 2


def _faces(
    x: np.ndarray, y: np.ndarray, lid: np.ndarray, solid: np.ndarray, ground: PatioGeometry
) -> tuple[Faces, Faces]:
    count = np.arange(solid.size).reshape(len(x) - 1, len(y) - 1)
    widths = np.diff(x), np.diff(y)
    across = []
    for axis, (low, high) in enumerate(((count[:-1], count[1:]), (count[:, :-1], count[:, 1:]))):
        apart = (widths[axis][1:] + widths[axis][:-1]) / 2
        length = np.broadcast_to(widths[1] if axis == 0 else widths[0][:, None], low.shape)
        apart = np.broadcast_to(apart[:, None] if axis == 0 else apart, low.shape)
        place = (x[1:-1, None], _middles(y)) if axis == 0 else (_middles(x)[:, None], y[1:-1])
        free = np.where(lid[low] != lid[high], ground.clear_height / ground.height, 1.0)
        for screen in ground.screens:
            free = np.minimum(free, _let_through(screen, axis, place, apart, ground.height))
        free = np.maximum(free, CRACKS)
        for side in ground.walls:
            if _slants(side):  # on the steps that the lid's cells make along it: none is shut in
                free = np.where((lid[low] != lid[high]) & _nearest(side, ground.outline, place), 0.0, free)
            else:
                wall = Barrier(side, ground.height, 0.0)
                free = np.minimum(free, _let_through(wall, axis, place, apart, ground.height))
        both = ~solid[low] & ~solid[high]
        across.append(Faces(low[both], high[both], length[both], apart[both], free[both]))
    return across[0], across[1]


def _let_through(
    screen: Barrier, axis: int, at: tuple[np.ndarray, np.ndarray], apart: np.ndarray, height: float
) -> np.ndarray:
    """Share of faces across an axis, at x and y, that a screen leaves open. It stands on those of the line
    nearest to it; on a slant, on those whose cells it parts, their middles so far `apart`."""
    x, y = at
    (xa, ya), (xb, yb) = screen.side
    covered = min(screen.height / height, 1.0) * (1 - screen.open)
    if _slants(screen.side):
        return np.where(_parted(screen.side, axis, at, apart), 1 - covered, 1.0)
    along, off = (y, x) if axis == 0 else (x, y)
    ends, line, level = (
        ((ya, yb), xa, abs(xa - xb)) if axis == 0 else ((xa, xb), ya, abs(ya - yb))
    )  # fmt: skip
    if level > 1e-6 or not off.min() - SIZE < line < off.max() + SIZE:
        return np.ones(np.broadcast_shapes(x.shape, y.shape))
    gap = np.abs(off - line)
    on = (gap <= gap.min() + SAME) & (along > min(ends)) & (along < max(ends))
    return np.where(on, 1 - covered, 1.0)


def _slants(side: Side) -> bool:
    (xa, ya), (xb, yb) = side
    return min(abs(xa - xb), abs(ya - yb)) > 1e-6


def _nearest(side: Side, outline: tuple[Point, ...], at: tuple[np.ndarray, np.ndarray]) -> np.ndarray:
    """Whether no side of an outline is nearer to places than this one."""
    own = _gap(side, at)
    return np.all([own <= _gap(other, at) + SAME for other in pairwise((*outline, outline[0]))], axis=0)


def _gap(side: Side, at: tuple[np.ndarray, np.ndarray]) -> np.ndarray:
    (xa, ya), (xb, yb) = side
    dx, dy, x, y = xb - xa, yb - ya, at[0] - xa, at[1] - ya
    share = np.clip((x * dx + y * dy) / max(dx * dx + dy * dy, SAME**2), 0.0, 1.0)
    return np.asarray(np.hypot(x - share * dx, y - share * dy))


def _parted(
    side: Side,
    axis: int,
    at: tuple[np.ndarray, np.ndarray],
    apart: np.ndarray,
) -> np.ndarray:
    """Whether a line stands between the middles of the cells on both sides of faces."""
    (xa, ya), (xb, yb) = side
    half = apart / 2 if axis == 0 else 0.0, apart / 2 if axis == 1 else 0.0
    ends = [(at[0] + sign * half[0] - xa, at[1] + sign * half[1] - ya) for sign in (-1, 1)]
    dx, dy = xb - xa, yb - ya
    left = [dx * y - dy * x for x, y in ends]  # of the line
    (x, y), step = ends[0], (2 * half[0], 2 * half[1])
    of_ends = [step[0] * (-y + oy) - step[1] * (-x + ox) for ox, oy in ((0.0, 0.0), (dx, dy))]
    # a middle on the line is counted to one side, else both its faces were open
    return np.asarray(((left[0] < 0) != (left[1] < 0)) & (of_ends[0] * of_ends[1] <= 0))
