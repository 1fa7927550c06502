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
from mistcalc.files.plan_drawing.arcs import OFF_CURVE
from mistcalc.files.plan_drawing.layer_names import is_ours
from mistcalc.files.plan_drawing.lid_depths import (
    MOST_BEND,
    SAME,
    TOUCH,
    Barrier,
    Behind,
    Segment,
    behind,
    corner_of,
    turn_of,
)
from mistcalc.files.plan_drawing.shapes import Drawing, DrawnShape, Point
from mistcalc.files.project.dependent_defaults import BENT_BY_HAND
from mistcalc.model.project import Corner
from mistcalc.model.run_extents import Spreads, lid_reach, spread_of

NOTHING = Behind((0.0, 0.0), False, (), False, False)
SQUARE = ("inside", "outside")


@dataclass(frozen=True)
class Leg:
    """One run: its open edge as walked, the lid's depth over it, and what stands behind it."""

    edge: Segment
    depths: tuple[float, float]  # at its start and its end
    back: Literal["wall", "open"]
    corner: Corner | None  # after it
    bend: float = 0.0  # rad
    lines: tuple[tuple[float, bool], ...] = ()  # behind it: how far, whether a wall
    uneven: bool = False  # the house behind it does not stand straight from one depth to the other
    odd: bool = False  # its depths differ, and a corner asks for one

    @property
    def length(self) -> float:
        return math.dist(*self.edge)

    @property
    def turned_by(self) -> str:
        """What turns the tube where the next run begins, as a default has it; "" for nothing."""
        if self.bend:
            return '"elbow 45"' if self.bend > BENT_BY_HAND else ""
        return "" if self.corner == "straight" else "elbow"

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
    crooked_ends: bool = False  # the lid's ends are drawn, and not square to its edge

    def with_depths(self, stated: dict[int, tuple[float, float]], backs: dict[int, str]) -> LidShape:
        """The same where a drawing of ours says how deep the lid is over a run, as long as something is drawn
        there: round a corner no line need lie behind the run itself."""
        legs = list(self.legs)
        for n, depths in stated.items():
            even = depths[0] == depths[1]
            there = [wall for far, wall in legs[n].lines if even and abs(far - depths[0]) < SAME]
            drawn = [legs[n].local(corner)[1] for corner in self.corners]
            if there:
                legs[n] = replace(legs[n], depths=depths, back="wall" if any(there) else "open", odd=False)
            elif all(any(abs(back - depth) < SAME for back in drawn) for depth in depths):
                back = "open" if backs.get(n) == "open" else "wall"
                legs[n] = replace(legs[n], depths=depths, back=back, odd=False)  # type: ignore[arg-type]
        return replace(self, legs=tuple(legs), **_ends(legs, self.walls))

    @property
    def bends(self) -> bool:
        return any(leg.bend for leg in self.legs)

    def spreads(self, number: int) -> Spreads:
        """How the lid spreads at the ends of a run, as `spread_of` has it."""
        before, leg = self.legs[number - 1], self.legs[number]
        return spread_of(before.corner, before.bend), spread_of(leg.corner, leg.bend)

    def reach(self, number: int) -> tuple[float, float]:
        """From where to where there is lid over a run, its inside corners' squares counted in."""
        before, after = self.legs[number - 1], self.legs[(number + 1) % len(self.legs)]
        beside = before.depths[1], after.depths[0]
        return lid_reach(self.legs[number].length, self.spreads(number), beside)


def lid_shapes(drawing: Drawing, source: str) -> tuple[LidShape, ...]:
    """One for each open edge drawn. Raises InputError where there is none, or one that cannot be laid."""
    edges = [shape for shape in drawing.of("edge") if shape.kind == "path"]
    lone = [not s.closed and (len(s.points) == 2 or s.curved) and not is_ours(s.layer) for s in edges]
    curved = any(s.curved for s in edges)
    paths = [(list(s.points), s.closed) for s, joins in zip(edges, lone, strict=True) if not joins]
    paths += [
        (points, False) for points in _joined([s for s, joins in zip(edges, lone, strict=True) if joins])
    ]
    walls = [pair for shape in drawing.of("wall") for pair in _sides(shape.points, shape.closed)]
    outlines = [pair for shape in drawing.of("outline") for pair in _sides(shape.points, True)]
    if not paths:
        raise InputError("drawing-no-edge", source, layers=tuple(drawing.read))
    ours = any(is_ours(shape.layer) for shape in edges)
    return tuple(_lid(points, closed, curved, walls, outlines, ours, source) for points, closed in paths)


def check_depths(lids: Sequence[LidShape], runs: Sequence[Sequence[str]], source: str) -> None:
    """That no house wall goes on a slant behind a run with a corner. runs: their names."""
    for lid, names in zip(lids, runs, strict=True):
        for leg, name in zip(lid.legs, names, strict=True):
            if leg.odd:
                raise InputError("drawing-wall-slanted", source, run=name)


def _lid(
    points: list[Point],
    closed: bool,
    curved: bool,
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
    guessed = crooked = False
    barriers = [*((side, True) for side in walls), *((side, False) for side in outlines)]
    if closed:
        drawn = points
        if _area(points) < 0:
            points = points[::-1]
        sides = list(_sides(points, True))
        walled = [_stands_on(side, walls, TOUCH + (OFF_CURVE if curved else 0.0)) for side in sides]
        if ours or not any(walled):  # a ring round a court or a house; nothing says where the house is
            return _ring(drawn, barriers, walls, ours, source)
        barriers += [(side, False) for side in sides]
        points, guessed = _open_chain(sides, walled, barriers, source)
        crooked = _crooked(points, sides)
    legs = _legs(points, False, barriers, ours)
    if legs is None:
        points = points[::-1]
        legs = _legs(points, False, barriers)
    if legs is None:
        raise InputError("drawing-no-wall", source)
    _check_corners(points, False, source)
    corners = _corners_of(barriers)
    ends = _ends(legs, walls)
    return LidShape(
        legs, guessed_ends=guessed, walls=tuple(walls), corners=corners, crooked_ends=crooked, **ends
    )


def _corners_of(barriers: list[Barrier]) -> tuple[Point, ...]:
    return tuple(end for side, _ in barriers for end in side)


def _ends(legs: Sequence[Leg], walls: Sequence[Segment]) -> dict[str, Any]:
    first, last = legs[0], legs[-1]
    if last.corner is not None:
        return {"starts_at": "wall", "ends_at": "wall"}  # a ring has none
    return {"starts_at": _end(first, 0.0, walls), "ends_at": _end(last, last.length, walls)}


def _ring(
    points: list[Point], barriers: list[Barrier], walls: list[Segment], ours: bool, source: str
) -> LidShape:
    for walked in (points, points[::-1]):
        legs = _legs(walked, True, barriers, ours)
        if legs is not None:
            _check_corners(walked, True, source)
            return LidShape(legs, "wall", "wall", False, tuple(walls), _corners_of(barriers))
    raise InputError("drawing-no-wall", source)


def _open_chain(
    sides: list[Segment], walled: list[bool], barriers: list[Barrier], source: str
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


def _crooked(points: list[Point], sides: list[Segment]) -> bool:
    """Whether a lid of closed sides ends on a slant, before or after those that are its runs."""
    before = next((side for side in sides if side[1] == points[0]), None)
    after = next((side for side in sides if side[0] == points[-1]), None)
    met = [corner_of(before, (points[0], points[1]))[0]] if before else []
    met += [corner_of((points[-2], points[-1]), after)[0]] if after else []
    return any(corner != "outside" for corner in met)


def _is_end(side: Segment, beside: Segment, barriers: list[Barrier]) -> bool:
    """Whether an open side is the end of the run beside it: no bend, and as long as that one is deep."""
    comes_before = side[1] == beside[0]
    met, bend = corner_of(*((side, beside) if comes_before else (beside, side)))
    found = behind([beside], 0, False, barriers)
    if found is None or met == "straight" or (bend <= math.radians(MOST_BEND) and met not in SQUARE):
        return False
    depth = found.depths[0 if comes_before else 1]
    return abs(math.dist(*side) - depth) < TOUCH


def _legs(
    points: list[Point], ring: bool, barriers: list[Barrier], ours: bool = False
) -> tuple[Leg, ...] | None:
    """None where no lid lies to the left of a side; one of ours is drawn that way, and says its depth."""
    sides = list(_sides(points, ring))
    found = [behind(sides, n, ring, barriers) for n in range(len(sides))]
    if any(each is None for each in found) and not ours:
        return None
    legs = []
    for n, (side, each) in enumerate(zip(sides, found, strict=True)):
        after = sides[(n + 1) % len(sides)] if ring or n + 1 < len(sides) else None
        each = each or NOTHING
        back: Literal["wall", "open"] = "wall" if each.wall else "open"
        legs.append(Leg(side, each.depths, back, *corner_of(side, after), each.lines, each.uneven, each.odd))
    return tuple(legs)


def _end(leg: Leg, at: float, walls: Sequence[Segment]) -> Literal["wall", "open"]:
    """What stands across the lid at an end of a run."""
    covered, depth = 0.0, leg.depths[at > 0.0]
    for a, b in walls:
        (s0, b0), (s1, b1) = leg.local(a), leg.local(b)
        square = abs(s0 - at) < TOUCH and abs(s1 - at) < TOUCH
        leans = min(abs(s0 - at) + abs(b0), abs(s1 - at) + abs(b1)) < TOUCH and abs(s1 - s0) < abs(b1 - b0)
        if square or leans:
            covered += max(0.0, min(max(b0, b1), depth) - max(min(b0, b1), 0.0))
    return "wall" if covered > depth / 2 else "open"


def _check_corners(points: list[Point], ring: bool, source: str) -> None:
    sides = list(_sides(points, ring))
    for side, after in pairwise([*sides, sides[0]] if ring else sides):
        bend = corner_of(side, after)[1]
        if ring and bend:
            raise InputError("drawing-ring-bends", source, angle=bend, at=side[1])
        if round(math.degrees(bend), 2) > MOST_BEND:
            raise InputError("drawing-slanted", source, angle=bend, at=side[1])


def _stands_on(side: Segment, walls: list[Segment], near: float) -> bool:
    """Whether walls stand along more than half of a side of the lid."""
    leg, covered = Leg(side, (0.0, 0.0), "open", None), 0.0
    for a, b in walls:
        (s0, b0), (s1, b1) = leg.local(a), leg.local(b)
        if abs(b0) < near and abs(b1) < near:
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
    return [p for n, p in enumerate(out) if abs(turn_of((out[n - 1], p), (p, after[n]))) >= 1e-4]


def _area(points: list[Point]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in _sides(points, True)) / 2


def _joined(pieces: list[DrawnShape]) -> list[list[Point]]:
    """Single lines and arcs that meet end to end, as paths."""
    left = [list(shape.points) for shape in pieces]
    out = []
    while left:
        path, grown = left.pop(), True
        while grown:
            grown = False
            for n, piece in enumerate(left):
                for points in (piece, piece[::-1]):
                    if math.dist(path[-1], points[0]) <= SAME:
                        path += points[1:]
                    elif math.dist(path[0], points[0]) <= SAME:
                        path[:0] = points[:0:-1]
                    else:
                        continue
                    del left[n]
                    grown = True
                    break
                if grown:
                    break
        out.append(path)
    return out
