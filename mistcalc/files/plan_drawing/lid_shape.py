"""The patio ceiling in a drawing: its open edge as runs walked with the house on the left, and what is
measured from them. Metres, in the drawing's own coordinates.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Literal

from mistcalc.errors import InputError
from mistcalc.files.plan_drawing.layer_names import is_ours
from mistcalc.files.plan_drawing.shapes import Drawing, DrawnShape, Point

Segment = tuple[Point, Point]

TOUCH = 0.05  # m: a wall so near a side of the ceiling stands on it
SAME = 0.001  # m: corners nearer than that are one
STRAIGHT = math.radians(1.0)  # less is no corner; what is not so near a right angle is none we can lay
NEAREST_BACK = 0.3  # m: the least depth of a lid
FARTHEST_BACK = 100.0
SHARES = (0.5, 0.25, 0.75)  # of a side, where is looked what lies behind it


@dataclass(frozen=True)
class Leg:
    """One run: its open edge as walked, the lid's depth over it, and what stands behind it."""

    edge: Segment
    depth: float
    back: Literal["wall", "open"]
    corner: Literal["inside", "outside", "straight"] | None  # after it
    lines: tuple[tuple[float, bool], ...] = ()  # behind it: how far, whether a wall

    @property
    def length(self) -> float:
        return math.dist(*self.edge)

    @property
    def ahead(self) -> Point:
        (x0, y0), (x1, y1) = self.edge
        return (x1 - x0) / self.length, (y1 - y0) / self.length

    def local(self, point: Point) -> tuple[float, float]:
        """From the run's start along it, and back from the edge toward the house."""
        (ax, ay), dx, dy = self.ahead, point[0] - self.edge[0][0], point[1] - self.edge[0][1]
        return dx * ax + dy * ay, -dx * ay + dy * ax


@dataclass(frozen=True)
class LidShape:
    legs: tuple[Leg, ...]
    starts_at: Literal["wall", "open"]
    ends_at: Literal["wall", "open"]
    guessed_ends: bool  # the drawing left open which sides are runs
    walls: tuple[Segment, ...] = ()
    corners: tuple[Point, ...] = ()  # of all that is drawn round it

    def with_depths(self, stated: dict[int, float], backs: dict[int, str]) -> LidShape:
        """The same where a drawing of ours says how deep the lid is over a run, as long as something is drawn
        there: round a corner no line need lie behind the run itself."""
        legs = list(self.legs)
        for n, depth in stated.items():
            there = [wall for far, wall in legs[n].lines if abs(far - depth) < SAME]
            if there:
                legs[n] = replace(legs[n], depth=depth, back="wall" if any(there) else "open")
            elif any(abs(legs[n].local(corner)[1] - depth) < SAME for corner in self.corners):
                legs[n] = replace(legs[n], depth=depth, back="open" if backs.get(n) == "open" else "wall")
        return replace(self, legs=tuple(legs), **_ends(legs, self.walls))


def lid_shapes(drawing: Drawing, source: str) -> tuple[LidShape, ...]:
    """One for each open edge drawn. Raises InputError where there is none, or one that cannot be laid."""
    edges = [shape for shape in drawing.of("edge") if shape.kind == "path"]
    joined = _joined([s for s in edges if not s.closed and len(s.points) == 2 and not is_ours(s.layer)])
    paths = [(list(s.points), s.closed) for s in edges if s.closed or len(s.points) > 2 or is_ours(s.layer)]
    paths += [(points, False) for points in joined]
    if any(shape.curved for shape in edges):
        raise InputError("drawing-curved", source, layer=next(s.layer for s in edges if s.curved))
    walls = [pair for shape in drawing.of("wall") for pair in _sides(shape.points, shape.closed)]
    outlines = [pair for shape in drawing.of("outline") for pair in _sides(shape.points, True)]
    if not paths:
        raise InputError("drawing-no-edge", source, layers=tuple(drawing.read))
    ours = any(is_ours(shape.layer) for shape in edges)
    return tuple(_lid(points, closed, walls, outlines, ours, source) for points, closed in paths)


def _lid(
    points: list[Point],
    closed: bool,
    walls: list[Segment],
    outlines: list[Segment],
    ours: bool,
    source: str,
) -> LidShape:
    if closed and points[0] == points[-1]:
        points = points[:-1]
    points = _plain(points, closed and not ours)
    if len(points) < 2:
        raise InputError("drawing-no-edge", source, layers=())
    guessed = False
    barriers = [*((side, True) for side in walls), *((side, False) for side in outlines)]
    if closed:
        drawn = points
        if _area(points) < 0:
            points = points[::-1]
        sides = list(_sides(points, True))
        walled = [_stands_on(side, walls) for side in sides]
        if ours or not any(
            walled
        ):  # a ring round a court or a house, or nothing that says where the house is
            return _ring(drawn, barriers, walls, ours, source)
        barriers += [(side, False) for side in sides]
        points, guessed = _open_chain(sides, walled, barriers, source)
    legs = _legs(points, False, barriers, ours)
    if legs is None:
        points = points[::-1]
        legs = _legs(points, False, barriers)
    if legs is None:
        raise InputError("drawing-no-wall", source)
    _check_corners(points, False, source)
    corners = _corners_of(barriers)
    return LidShape(legs, guessed_ends=guessed, walls=tuple(walls), corners=corners, **_ends(legs, walls))


def _corners_of(barriers: list[tuple[Segment, bool]]) -> tuple[Point, ...]:
    return tuple(end for side, _ in barriers for end in side)


def _ends(legs: Sequence[Leg], walls: Sequence[Segment]) -> dict[str, Any]:
    first, last = legs[0], legs[-1]
    if last.corner is not None:
        return {"starts_at": "wall", "ends_at": "wall"}  # a ring has none
    return {"starts_at": _end(first, 0.0, walls), "ends_at": _end(last, last.length, walls)}


def _ring(
    points: list[Point], barriers: list[tuple[Segment, bool]], walls: list[Segment], ours: bool, source: str
) -> LidShape:
    for walked in (points, points[::-1]):
        legs = _legs(walked, True, barriers, ours)
        if legs is not None:
            _check_corners(walked, True, source)
            return LidShape(legs, "wall", "wall", False, tuple(walls), _corners_of(barriers))
    raise InputError("drawing-no-wall", source)


def _open_chain(
    sides: list[Segment], walled: list[bool], barriers: list[tuple[Segment, bool]], source: str
) -> tuple[list[Point], bool]:
    """The open sides that are runs, in the order walked: those at the lid's ends are none."""
    if all(walled):
        raise InputError("drawing-walled-in", source)
    begins = [n for n, wall in enumerate(walled) if not wall and walled[n - 1]]
    if len(begins) != 1:
        raise InputError("drawing-edge-in-parts", source, count=len(begins))
    count = len(sides)
    chain: list[Segment] = []
    n = begins[0]
    while not walled[n % count] and len(chain) < count:
        chain.append(sides[n % count])
        n += 1
    guessed = False
    if len(chain) > 1:
        first, last = _is_end(chain[0], chain[1], barriers), _is_end(chain[-1], chain[-2], barriers)
        if len(chain) == 2 and first and last:  # either could be the end of the other: the longer is the run
            chain, guessed = [max(chain, key=lambda side: math.dist(*side))], True
        else:
            chain = chain[first : len(chain) - last]
    return [chain[0][0], *(b for _, b in chain)], guessed


def _is_end(side: Segment, beside: Segment, barriers: list[tuple[Segment, bool]]) -> bool:
    """Whether an open side is the end of the run beside it: as long as that one is deep."""
    depth = _depth(beside, barriers)
    return depth is not None and abs(math.dist(*side) - depth[0]) < TOUCH


def _legs(
    points: list[Point], ring: bool, barriers: list[tuple[Segment, bool]], ours: bool = False
) -> tuple[Leg, ...] | None:
    """None where no lid lies to the left of a side; one of ours is drawn that way, and says its depth."""
    sides = list(_sides(points, ring))
    found = [_depth(side, barriers) for side in sides]
    if any(depth is None for depth in found) and not ours:
        return None
    legs = []
    for n, (side, depth) in enumerate(zip(sides, found, strict=True)):
        far, wall = depth or (0.0, False)
        after = sides[(n + 1) % len(sides)] if ring or n + 1 < len(sides) else None
        lines = tuple(hit for share in SHARES for hit in _hits(side, share, barriers))
        legs.append(Leg(side, far, "wall" if wall else "open", _corner(side, after), lines))
    return tuple(legs)


def _depth(side: Segment, barriers: list[tuple[Segment, bool]]) -> tuple[float, bool] | None:
    """How far to the left of a side the lid goes, and whether a wall ends it: at most places along it."""
    seen = [hit for share in SHARES if (hit := _first_hit(side, share, barriers)) is not None]
    return min(seen, key=lambda hit: sum(abs(hit[0] - other[0]) for other in seen)) if seen else None


def _hits(side: Segment, share: float, barriers: list[tuple[Segment, bool]]) -> list[tuple[float, bool]]:
    """What lies to the left of a place on a side and along it: how far, and whether it is a wall."""
    (x0, y0), (x1, y1) = side
    size = math.dist(*side)
    ax, ay = (x1 - x0) / size, (y1 - y0) / size
    x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
    hits: list[tuple[float, bool]] = []
    for ((xa, ya), (xb, yb)), wall in barriers:
        s = [(px - x) * ax + (py - y) * ay for px, py in ((xa, ya), (xb, yb))]
        b = [-(px - x) * ay + (py - y) * ax for px, py in ((xa, ya), (xb, yb))]
        if abs(b[0] - b[1]) < TOUCH and min(s) - SAME <= 0.0 <= max(s) + SAME and b[0] > NEAREST_BACK - SAME:
            hits.append(((b[0] + b[1]) / 2, wall))
    return [hit for hit in hits if hit[0] <= FARTHEST_BACK]


def _first_hit(
    side: Segment, share: float, barriers: list[tuple[Segment, bool]]
) -> tuple[float, bool] | None:
    hits = _hits(side, share, barriers)
    if not hits:
        return None
    nearest = min(hits)[0]
    return nearest, any(wall and deep - nearest < TOUCH for deep, wall in hits)


def _end(leg: Leg, at: float, walls: Sequence[Segment]) -> Literal["wall", "open"]:
    """What stands across the lid at an end of a run."""
    covered = 0.0
    for a, b in walls:
        (s0, b0), (s1, b1) = leg.local(a), leg.local(b)
        if abs(s0 - at) < TOUCH and abs(s1 - at) < TOUCH:
            covered += max(0.0, min(max(b0, b1), leg.depth) - max(min(b0, b1), 0.0))
    return "wall" if covered > leg.depth / 2 else "open"


def _corner(side: Segment, after: Segment | None) -> Literal["inside", "outside", "straight"] | None:
    if after is None:
        return None
    turn = _turn(side, after)
    return "straight" if abs(turn) < STRAIGHT else "outside" if turn > 0 else "inside"


def _turn(side: Segment, after: Segment) -> float:
    """How far the walk turns left, rad."""
    headings = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in (side, after)]
    return math.remainder(headings[1] - headings[0], 2 * math.pi)


def _check_corners(points: list[Point], ring: bool, source: str) -> None:
    sides = list(_sides(points, ring))
    for side, after in pairwise([*sides, sides[0]] if ring else sides):
        turn = _turn(side, after)
        if min(abs(turn), abs(abs(turn) - math.pi / 2)) > STRAIGHT:
            raise InputError("drawing-slanted", source, angle=abs(turn), at=side[1])


def _stands_on(side: Segment, walls: list[Segment]) -> bool:
    """Whether walls stand along more than half of a side of the lid."""
    leg, covered = Leg(side, 0.0, "open", None), 0.0
    for a, b in walls:
        (s0, b0), (s1, b1) = leg.local(a), leg.local(b)
        if abs(b0) < TOUCH and abs(b1) < TOUCH:
            covered += max(0.0, min(max(s0, s1), leg.length) - max(min(s0, s1), 0.0))
    return covered > leg.length / 2


def _sides(points: Sequence[Point], closed: bool) -> Iterator[Segment]:
    for a, b in pairwise([*points, points[0]] if closed else points):
        if math.dist(a, b) > SAME:
            yield a, b


def _plain(points: list[Point], closed: bool) -> list[Point]:
    """Without corners that stand twice, and of a closed line without such as are none: of an open one a
    straight corner parts two runs."""
    out = [p for n, p in enumerate(points) if n == 0 or math.dist(p, points[n - 1]) > SAME]
    if not closed:
        return out
    after = [*out[1:], out[0]]
    return [p for n, p in enumerate(out) if abs(_turn((out[n - 1], p), (p, after[n]))) >= 1e-4]


def _area(points: list[Point]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in _sides(points, True)) / 2


def _joined(lines: list[DrawnShape]) -> list[list[Point]]:
    """Single lines that meet end to end, as paths."""
    left = [list(shape.points) for shape in lines]
    out = []
    while left:
        path, grown = left.pop(), True
        while grown:
            grown = False
            for n, (a, b) in enumerate(left):
                for tail, end in ((a, b), (b, a)):
                    if math.dist(path[-1], tail) <= SAME:
                        path.append(end)
                    elif math.dist(path[0], tail) <= SAME:
                        path.insert(0, end)
                    else:
                        continue
                    del left[n]
                    grown = True
                    break
                if grown:
                    break
        out.append(path)
    return out
