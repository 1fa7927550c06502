"""The wind round the house as it would be without the lid: turned round and slow in the lee."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from mistcalc.cooling.house_blocks import Barrier, Block, Point
from mistcalc.cooling.patio_geometry import SAME, PatioGeometry
from mistcalc.cooling.plan_cells import SIZE, Cells
from mistcalc.model.practice import PATIO_HEIGHT
from mistcalc.physics import wake

ROOF_EXPONENT = 0.22  # wind at the roof over that at patio height goes with the height to this: suburb, HoF
# Of the wind at the roof: air in the lee that runs back to the house, before the wall holds it up. What then
# comes in under a lid is a fifth: in a wake 0.1-0.3 was measured (Drivas & Shair 1974, second-hand).
TURNED = 0.6
LOWEST = 0.1  # m: the wind steps over what is lower
THIN = 0.01  # m, a screen seen as a block
ALONG = 0.5  # of the wind along a lee wall that is left there
# Of a passage's width: the stream that the wind makes which slants into it. Free streamlines round a sharp
# edge (Kirchhoff 1869; Batchelor, An Introduction to Fluid Dynamics, 6.13).
CONTRACTED = float(np.pi / (np.pi + 2))
# Sine of the angle to a wall from which on the wind stays on it: 13-15 degrees on prisms (from memory).
REATTACHED = float(np.sin(np.radians(15)))
EDDY, AHEAD = 0.6, 1.2  # of a wall across the wind: how wide the eddy before it is on it, and how long


@dataclass(frozen=True, slots=True)
class WindObstacle:
    """What stands in the wind's way: a block, how much of it the wind feels (0 to 1), and the blocks that
    make one building with it, itself among them."""

    block: Block
    felt: float
    building: tuple[Block, ...]


def wind_obstacles(ground: PatioGeometry) -> tuple[WindObstacle, ...]:
    """The house's blocks, and screens: felt as far as they are closed and as high as the lid."""
    obstacles = [WindObstacle(block, 1.0, _joined(block, ground.house)) for block in ground.house]
    for screen in ground.screens:
        if screen.height >= LOWEST:
            thin = _thin(screen)
            felt = min(screen.height / ground.height, 1.0) * (1 - screen.open)
            obstacles.append(WindObstacle(thin, felt, (thin,)))
    return tuple(obstacles)


def _thin(screen: Barrier) -> Block:
    (xa, ya), (xb, yb) = screen.side
    size = float(np.hypot(xb - xa, yb - ya))
    return Block((xa, ya), ((xb - xa) / size, (yb - ya) / size), size, THIN, screen.height)


def wake_flushing_flow(obstacles: tuple[WindObstacle, ...], toward: float) -> float:
    """Outdoor air that changes the air in the lee of it all under 1 m/s at patio height [m3/s]."""
    tall, wide, long = _sizes(tuple(obstacle.block for obstacle in obstacles), toward)
    return float(wake.flushing_flow(tall, wide, long, (tall / PATIO_HEIGHT) ** ROOF_EXPONENT))


def _sizes(blocks: tuple[Block, ...], toward: float) -> tuple[float, float, float]:
    """Height, width across the wind and length along it [m] of all blocks together."""
    corners = np.array([corner for block in blocks for corner in block.corners])
    ux, uy = np.cos(toward), np.sin(toward)
    tall = max(block.height for block in blocks)
    return tall, float(np.ptp(corners @ (-uy, ux))), float(np.ptp(corners @ (ux, uy)))


def wind_without_lid(
    cells: Cells, obstacles: tuple[WindObstacle, ...], toward: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The wind over every cell under 1 m/s at patio height that blows to plan direction `toward` [rad],
    m/s, [2, cell]; how far each cell is in the lee, 0 to 1; and how far in one that is shut in.

    In the lee of a wall as far as the wake's recirculation reaches (`physics.wake`), the wind's part away
    from the wall is turned round and is a share of the wind at the roof; the part along the wall is slowed.
    Where walls shut the lee in the air stands; beside a lee in a passage the wind goes on.
    """
    ux, uy = np.cos(toward), np.sin(toward)
    free = np.stack([np.full(cells.lid.shape, ux), np.full(cells.lid.shape, uy)])
    wind, lee = free, np.zeros(cells.lid.shape)
    x, y = cells.middle
    nearest, many = np.full(x.shape, np.inf), np.zeros(x.shape)
    for obstacle in obstacles:
        block = obstacle.block
        _, wide, long = _sizes(obstacle.building, toward)
        reach = wake.recirculation_length(block.height, wide, long)
        scale = float(wake.length_scale(block.height, wide))
        gap, normal, within = _upwind(block, x, y, ux, uy, scale)
        # over a cell's length from all to nothing, so that no cell jumps in or out
        felt = obstacle.felt * within * np.clip((reach - gap) / SIZE + 0.5, 0.0, 1.0)
        alike = np.abs(felt - lee) <= SAME
        nearer = alike & (felt > 0) & (gap < nearest + SAME)
        as_near = nearer & (gap > nearest - SAME)  # behind several: the mean of them
        behind = ((felt > lee) & ~alike) | nearer
        many = np.where(as_near, many + 1, np.where(behind, 1, many))
        nearest = np.where(behind, gap, nearest)
        away = ux * normal[0] + uy * normal[1]
        roof = (block.height / PATIO_HEIGHT) ** ROOF_EXPONENT
        back = -TURNED * roof * away * normal
        beside = ALONG * (np.array([ux, uy])[:, None] - away * normal)
        there = felt * (back + beside) + (1 - felt) * free
        wind = np.where(
            behind, np.where(as_near, wind, there) + (there - wind) * as_near / many.clip(1), wind
        )
        lee = np.where(behind, felt, lee)
    walls = [wall for obstacle in obstacles for wall in _left_walls(obstacle, toward)]
    solid = tuple(obstacle.block for obstacle in obstacles if obstacle.felt == 1.0)
    shut, left = np.zeros(cells.lid.shape), np.ones(cells.lid.shape)
    for wall in walls:  # in whatever order
        ahead, away = (ux * way[0] + uy * way[1] for way in (wall.ahead, wall.out))
        if min(ahead, away) > SAME:
            inside, dead = _in_passage(wall, solid, away / ahead, x, y)
            shut = np.maximum(shut, lee * np.maximum(_in_pocket(wall, solid, away / ahead, x, y), dead))
            wind = wind + inside * (free - wind)
            left = left * (1 - inside + dead)
    lee, wind = lee * left, (1 - shut) * wind
    for wall in walls:
        wind = _less_layer(wall, wind, x, y)
    return wind, lee, shut


@dataclass(frozen=True, slots=True)
class _Wall:
    """A wall that the wind leaves at the corner it comes by: that corner, the ways along it and out from it
    (unit vectors), its length [m], how far the wind leaves it (0 to 1), and R of its building (`wake`)."""

    corner: Point
    ahead: Point
    out: Point
    length: float
    leaves: float
    scale: float

    def place(self, x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """How far along the wall from that corner, and out from it, points lie [m]."""
        dx, dy = x - self.corner[0], y - self.corner[1]
        return dx * self.ahead[0] + dy * self.ahead[1], dx * self.out[0] + dy * self.out[1]


def _left_walls(obstacle: WindObstacle, toward: float) -> Iterator[_Wall]:
    """The obstacle's walls that the wind leaves: it runs along them, or away from them."""
    _, wide, _ = _sizes(obstacle.building, toward)
    scale = float(wake.length_scale(obstacle.block.height, wide))
    ux, uy = float(np.cos(toward)), float(np.sin(toward))
    corners = obstacle.block.corners
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        size = float(np.hypot(b[0] - a[0], b[1] - a[1]))
        tx, ty = (b[0] - a[0]) / size, (b[1] - a[1]) / size
        out = ty, -tx  # corners run counter-clockwise: out is to the right
        if ux * tx + uy * ty < 0:  # from the end the wind comes by to the other
            a, tx, ty = b, -tx, -ty
        leaves = obstacle.felt * float(np.clip(1 + (ux * out[0] + uy * out[1]) / REATTACHED, 0.0, 1.0))
        if leaves > SAME and _corner(obstacle.building, a, (tx, ty), out):
            yield _Wall(a, (tx, ty), out, size, leaves, scale)


def _less_layer(wall: _Wall, wind: np.ndarray, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """The wind over every cell, [2, cell], less what the wall takes of its part along it: in a layer the air
    stands still until the wind is back on the wall, then moves ever faster."""
    along, off = wall.place(x, y)
    on = _between(along, wall.length) & (off > SAME)
    along = np.clip(along, 0.0, wall.length)
    near = np.clip((wake.disturbed_depth(along, wall.scale) - off) / SIZE + 0.5, 0.0, 1.0)
    missing = wall.leaves * on * near * wake.stopped(along, wall.scale)
    ahead = np.array(wall.ahead)
    return wind - missing * (ahead @ wind) * ahead[:, None]


def pockets(cells: Cells, obstacles: tuple[WindObstacle, ...], toward: float) -> tuple[np.ndarray, float]:
    """How far each cell lies in a pocket, 0 to 1, [cell], and how long the pockets' mouths are [m].

    In an inner corner that the wind blows into along one wall, having left it at its outer corner, the wind
    does not come back to it: the air turns in an eddy as long as that wall and, on the wall that faces the
    wind, EDDY of it wide (as before a step: Moss & Baker 1980, from memory).
    """
    x, y = cells.middle
    pocket, mouth = np.zeros(x.shape), 0.0
    for obstacle in obstacles:
        for wall in _left_walls(obstacle, toward):
            far, wide = _facing(obstacle.building, wall)
            slant = abs(np.cos(toward) * wall.out[0] + np.sin(toward) * wall.out[1]) / REATTACHED
            if slant >= 1 or not EDDY * wide < far < wake.REATTACHES * wall.scale + AHEAD * wide:
                continue
            along, off = wall.place(x, y)
            inside = np.clip((EDDY * wide * along / far - off) / SIZE + 0.5, 0.0, 1.0)
            inside = (1 - slant) * inside * (_between(along, far) & (off > SAME))
            pocket, mouth = np.maximum(pocket, inside), mouth + float(np.hypot(far, EDDY * wide))
    return pocket, mouth


def _in_pocket(
    wall: _Wall, solid: tuple[Block, ...], slant: float, x: np.ndarray, y: np.ndarray
) -> np.ndarray:
    """How far points lie in an inner corner whose other wall the wind strikes that left this one, 0 to 1;
    slant: how fast the wind leaves it, over how fast it goes along."""
    far, wide = _facing(solid, wall)
    if not np.isfinite(far):
        return np.zeros(x.shape)
    along, off = wall.place(x, y)
    strikes = float(np.clip((wide - slant * far) / SIZE + 0.5, 0.0, 1.0))
    return strikes * (_between(along, far) & _between(off, wide))


def _in_passage(
    wall: _Wall, solid: tuple[Block, ...], slant: float, x: np.ndarray, y: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """How far points lie between this wall and one across from it, nearer than flow needs to settle, 0 to 1;
    and how far of that in the dead air beside the stream that goes through."""
    across = _across(solid, wall)
    near = float(np.clip((wake.SETTLES * wall.scale - across) / SIZE + 0.5, 0.0, 1.0))
    if near == 0.0:
        return np.zeros(x.shape), np.zeros(x.shape)
    along, off = wall.place(x, y)
    inside = near * (_between(along, wall.length) & _between(off, across))
    dead = np.minimum(slant * along, (1 - CONTRACTED) * across)
    return inside, inside * np.clip((dead - off) / SIZE + 0.5, 0.0, 1.0)


def _between(place: np.ndarray, far: float) -> np.ndarray:
    """Whether places lie between 0 and `far`: one on either is in neither a house nor its mirror image."""
    return (place > SAME) & (place < far - SAME)


def _facing(building: tuple[Block, ...], wall: _Wall) -> tuple[float, float]:
    """How far along a wall another of the building stands across it [m], inf where none, and how far that one
    reaches out from there [m]."""
    far, wide = np.inf, 0.0
    for block in building:
        along, off = wall.place(*np.array(block.corners).T)
        if along.min() > THIN and off.min() < THIN < off.max() and along.min() < far + SAME:
            wide = max(float(off.max()), wide if along.min() > far - SAME else 0.0)
            far = float(along.min())
    return far, wide


def _across(solid: tuple[Block, ...], wall: _Wall) -> float:
    """How far out from a wall another stands over against it [m], inf where none."""
    far = np.inf
    for block in solid:
        along, off = wall.place(*np.array(block.corners).T)
        if off.min() > THIN and along.min() < wall.length - THIN and along.max() > THIN:
            far = min(far, float(off.min()))
    return far


def _corner(building: tuple[Block, ...], at: Point, ahead: Point, out: Point) -> bool:
    """Whether a wall that begins `at` and goes `ahead`, looking `out`, begins at a corner that stands out: no
    other block goes on before it or stands in front of it."""
    (x, y), (tx, ty), (nx, ny) = at, ahead, out
    near = [
        (-THIN, -THIN),
        (-THIN, THIN),
        (THIN, THIN),
    ]  # along and out: behind its line, before it, in front
    return not any(
        _holds(block, x + s * tx + n * nx, y + s * ty + n * ny) for block in building for s, n in near
    )


def _holds(block: Block, x: float, y: float) -> bool:
    (x0, y0), (ax, ay) = block.corner, block.along
    along, deep = (x - x0) * ax + (y - y0) * ay, (y - y0) * ax - (x - x0) * ay
    return 0 < along < block.length and 0 < deep < block.depth


def _joined(block: Block, house: tuple[Block, ...]) -> tuple[Block, ...]:
    """The blocks that make one building with this one: those that touch, and those that touch them."""
    building, left = [block], [other for other in house if other != block]
    for part in building:
        building += [other for other in left if _touch(part, other)]
        left = [other for other in left if other not in building]
    return tuple(building)


def _touch(block: Block, other: Block) -> bool:
    a, b = np.array(block.corners), np.array(other.corners)
    return bool(np.all(a.min(0) <= b.max(0) + THIN) and np.all(b.min(0) <= a.max(0) + THIN))


def _upwind(
    block: Block, x: np.ndarray, y: np.ndarray, ux: float, uy: float, scale: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """How far upwind of each point [m] the block's lee stands (inf: nowhere); which way that wall looks,
    [2, point]; how far the point is in its shadow, 0 to 1. That is as wide as the wind sees the wall, and
    wider on both sides by a third of the length `scale` [m] once so far behind it (as `wake` has it)."""
    gap = np.full(x.shape, np.inf)
    normal, within = np.zeros((2, *x.shape)), np.zeros(x.shape)
    corners = block.corners
    for (xa, ya), (xb, yb) in zip(corners, (*corners[1:], corners[0]), strict=True):
        size = np.hypot(xb - xa, yb - ya)
        nx, ny = (yb - ya) / size, -(xb - xa) / size  # corners run counter-clockwise: out is to the right
        away = ux * nx + uy * ny
        if away < 1e-9:
            continue  # a windward wall, or one the wind runs along
        back = ((x - xa) * nx + (y - ya) * ny) / away
        hit = ((x - back * ux - xa) * (xb - xa) + (y - back * uy - ya) * (yb - ya)) / size**2
        bulge = scale / 3 * np.clip(back / scale, 0.0, 1.0)
        inside = (0.5 - np.abs(hit - 0.5)) * size * away + bulge  # m from the shadow's side
        shade = np.clip(inside / SIZE + 0.5, 0.0, 1.0)
        seen = (back > SAME) & (shade > 0) & (back < gap + SAME)
        # a point straight behind a corner is behind both of its walls
        both = seen & (back > gap - SAME)
        gap = np.where(seen, np.minimum(back, gap), gap)
        here = np.array([[nx], [ny]])
        normal = np.where(seen, np.where(both, (normal + here) / 2, here), normal)
        within = np.where(seen, np.where(both, (within + shade) / 2, shade), within)
    return gap, normal, within
