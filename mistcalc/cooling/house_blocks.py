"""What stands round the patio in the wind's way: the house as blocks in plan, and screens.

Blocks may overlap each other; none reaches into the lid. Plan coordinates as in model/results.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from mistcalc.model.lid_heights import mean_height
from mistcalc.model.project import Corner, Patio
from mistcalc.model.results import Lid
from mistcalc.model.run_extents import back_from_start, corners, spreads, strip_corners

Point = tuple[float, float]
Span = tuple[float, float]
LEAST_WALL = 0.2  # m: what a wall is thick where no house stands behind it or goes on past it; judgement
SLIVER = 1e-6  # m


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle of house: from `corner` it goes `length` along `along` (a unit vector) and `depth` to the
    left of that [m]; its top stands `height` above the floor."""

    corner: Point
    along: Point
    length: float
    depth: float
    height: float

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Counter-clockwise from `corner`."""
        (x, y), (ax, ay), long, deep = self.corner, self.along, self.length, self.depth
        far, off = (x + long * ax, y + long * ay), (-deep * ay, deep * ax)
        return self.corner, far, (far[0] + off[0], far[1] + off[1]), (x + off[0], y + off[1])


@dataclass(frozen=True, slots=True)
class Barrier:
    """A free-standing wall, screen or hedge: its line in plan, walked with the patio on the left, its height
    above the floor [m] and the share of its area that is open, 0 to 1."""

    side: tuple[Point, Point]
    height: float
    open: float


@dataclass(frozen=True, slots=True)
class _Local:
    """One run with the lid's rectangles in its own coordinates: along from its start, back from its edge."""

    origin: Point
    ahead: Point
    length: float
    corners: tuple[Corner | None, Corner | None]  # before and after it
    spreads: Span  # how far the lid goes on past its ends for each metre back
    depths: Span  # of the lid at its start and at its end
    back: Span  # from where to where its back goes
    lid: tuple[tuple[Span, Span], ...]  # (along, back) of each rectangle round a run's lid

    @property
    def depth(self) -> float:
        return max(self.depths)

    def wall(self, along: Span, deep: float, height: float) -> Block:
        """The house so deep behind its back, which a taper has on a slant."""
        start, end = self.depths
        if start == end:
            return self.block(along, (start, start + deep), height)
        first, last = self.back
        slope = (end - start) / (last - first)
        (x, y), (far_x, far_y) = (self.point(s, start + (s - first) * slope) for s in along)
        size = math.hypot(far_x - x, far_y - y)
        return Block((x, y), ((far_x - x) / size, (far_y - y) / size), size, deep, height)

    def point(self, along: float, back: float) -> Point:
        (x, y), (ax, ay) = self.origin, self.ahead
        return x + along * ax - back * ay, y + along * ay + back * ax

    def block(self, along: Span, back: Span, height: float) -> Block:
        return Block(
            self.point(along[0], back[0]), self.ahead, along[1] - along[0], back[1] - back[0], height
        )

    def behind(self, along: Span, start: float, wanted: float) -> float:
        """How far back from `start` there is no lid over `along`, `wanted` at the most."""
        return _free([(back, side) for side, back in self.lid], along, start, wanted)

    def beside(self, back: Span, start: float, wanted: float, sign: int) -> float:
        """How far along from `start` there is no lid over `back`; with `sign` -1 the other way."""
        seen = [(side if sign > 0 else (-side[1], -side[0]), across) for side, across in self.lid]
        return _free(seen, back, sign * start, wanted)


def blocks_of_house(patio: Patio, lid: Lid) -> tuple[Block, ...]:
    """The house: a block behind the wall of each run, and a wing beside each end that is a wall. An open back
    has nothing behind it."""
    runs, house = _locals(patio, lid), patio.house
    height, reach = mean_height(patio) + (house.above_lid or 0.0), max(house.depth or 0.0, LEAST_WALL)
    blocks = []
    for run in runs if patio.back == "wall" else ():
        along = _wall(run, patio)
        deep = run.behind(along, run.depth, reach)
        if along[1] - along[0] > SLIVER and deep > SLIVER:
            blocks.append(run.wall(along, deep, height))
    ends = (
        (patio.runs[0].starts_at, runs[0], 0.0, house.past_start, -1),
        (patio.runs[-1].ends_at, runs[-1], runs[-1].length, house.past_end, 1),
    )
    for kind, run, end, past, sign in ends:
        wanted = max(past or 0.0, LEAST_WALL) if kind == "wall" else 0.0
        depth = run.depths[sign > 0]
        wide = run.beside((0.0, depth), end, wanted, sign)
        if wide > SLIVER:
            along = (end, end + wide) if sign > 0 else (end - wide, end)
            deep = run.behind(along, depth, reach)
            blocks.append(run.block(along, (0.0, depth + deep), height))
    return tuple(blocks)


def barriers(lid: Lid) -> tuple[Barrier, ...]:
    return tuple(Barrier(screen.line, screen.height, screen.open) for screen in lid.screens)


def _locals(patio: Patio, lid: Lid) -> tuple[_Local, ...]:
    frames = []
    for run, line in zip(patio.runs, lid.runs, strict=True):
        (x0, y0), (x1, y1) = line.edge
        frames.append(((x0, y0), ((x1 - x0) / run.length, (y1 - y0) / run.length), run.length))
    strips = [(frame, strip_corners(patio, n)) for n, frame in enumerate(frames)]
    out = []
    for n, (origin, (ax, ay), length) in enumerate(frames):
        seen = []
        for ((x, y), (bx, by), _), strip in strips:
            ends = [(x + s * bx - b * by - origin[0], y + s * by + b * bx - origin[1]) for s, b in strip]
            s = sorted(dx * ax + dy * ay for dx, dy in ends)
            b = sorted(-dx * ay + dy * ax for dx, dy in ends)
            seen.append(((s[0], s[-1]), (b[0], b[-1])))
        depths, back = patio.depths_over(n), back_from_start(patio, n)
        met = corners(patio, n), spreads(patio, n)
        out.append(_Local(origin, (ax, ay), length, *met, depths, back, tuple(seen)))
    return tuple(out)


def _wall(run: _Local, patio: Patio) -> Span:
    """From where to where the house stands behind a run: past the lid's ends as stated, round inside corners
    as far as it is deep, short of whatever lid is in its way."""
    house, (low, high) = patio.house, run.back
    round_it = [(house.depth or 0.0) * max(spread, 0.0) for spread in run.spreads]
    past = [
        kept if corner else end or 0.0
        for kept, corner, end in zip(round_it, run.corners, (house.past_start, house.past_end), strict=True)
    ]
    faces = [(depth, depth + SLIVER * 10) for depth in run.depths]
    low -= run.beside(faces[0], low, past[0], -1) if past[0] else 0.0
    high += run.beside(faces[1], high, past[1], 1) if past[1] else 0.0
    return low, high


def _free(seen: list[tuple[Span, Span]], across: Span, start: float, wanted: float) -> float:
    """How far from `start` upward no rectangle (its reach that way, its reach across) stands within `across`,
    `wanted` at the most."""
    ahead = [
        reach[0] - start
        for reach, side in seen
        if side[0] < across[1] - SLIVER and side[1] > across[0] + SLIVER and reach[1] > start + SLIVER
    ]
    return max(0.0, min([wanted, *ahead]))
