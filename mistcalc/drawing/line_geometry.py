"""Plane geometry of upright and level lines: offset, cut to a window, cut out a door; hatch. Any one unit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil, cos, floor, hypot, pi, sin

from mistcalc.drawing.boxes import Box, Point, around

Segment = tuple[Point, Point]
NEAR = 1e-6


def unit(start: Point, end: Point) -> Point:
    """Direction from start to end; (0, 0) where they are one point."""
    far = hypot(end[0] - start[0], end[1] - start[1])
    return ((end[0] - start[0]) / far, (end[1] - start[1]) / far) if far > 0 else (0.0, 0.0)


def left(direction: Point) -> Point:
    return -direction[1], direction[0]


def moved(point: Point, direction: Point, by: float) -> Point:
    return point[0] + by * direction[0], point[1] + by * direction[1]


def off_line(point: Point, start: Point, end: Point) -> float:
    """How far a point stands off the line through two others, on either side."""
    (ux, uy), (dx, dy) = unit(start, end), (point[0] - start[0], point[1] - start[1])
    return abs(ux * dy - uy * dx)


def chains(segments: Sequence[Segment]) -> list[list[Point]]:
    """Segments joined end to end, whichever way round each is given."""
    left_over = [list(segment) for segment in segments]
    out: list[list[Point]] = []
    while left_over:
        chain = left_over.pop(0)
        grown = True
        while grown:
            grown = False
            for other in left_over:
                joined = _joined(chain, other)
                if joined is not None:
                    chain, grown = joined, True
                    left_over.remove(other)
                    break
        out.append(chain)
    return out


def _joined(points: list[Point], other: list[Point]) -> list[Point] | None:
    for first in (points, points[::-1]):
        for second in (other, other[::-1]):
            if hypot(first[-1][0] - second[0][0], first[-1][1] - second[0][1]) < NEAR:
                return [*first, *second[1:]]
    return None


def offset(points: Sequence[Point], by: float) -> list[Point]:
    """The chain moved `by` to its left (negative: right), square corners kept sharp; one that ends where it
    begins has no ends."""
    normals = [left(unit(a, b)) for a, b in pairwise(points)]
    ring = len(points) > 2 and hypot(points[-1][0] - points[0][0], points[-1][1] - points[0][1]) < NEAR
    out = []
    for index, point in enumerate(points):
        beside = (index - 1, index)
        near = {normals[i % len(normals)] for i in beside if ring or 0 <= i < len(normals)}
        shift = (sum(n[0] for n in near), sum(n[1] for n in near))
        out.append(moved(point, shift, by))
    return out


def clip(segment: Segment, window: Box) -> Segment | None:
    """The part of a segment inside a window, None where there is none (Liang and Barsky 1984)."""
    (x0, y0), (x1, y1) = segment
    first, last = 0.0, 1.0
    for step, room in (
        (x0 - x1, x0 - window.left),
        (x1 - x0, window.right - x0),
        (y0 - y1, y0 - window.bottom),
        (y1 - y0, window.top - y0),
    ):
        if abs(step) < 1e-12:
            if room < -NEAR:
                return None
        elif step < 0:
            first = max(first, room / step)
        else:
            last = min(last, room / step)
    if first >= last:
        return None
    return (x0 + first * (x1 - x0), y0 + first * (y1 - y0)), (x0 + last * (x1 - x0), y0 + last * (y1 - y0))


def clip_shape(points: Sequence[Point], window: Box) -> list[Point]:
    """The part of a convex shape inside a window (Sutherland and Hodgman 1974), [] where there is none."""
    shape = list(points)
    for axis, sign, limit in (
        (0, 1, window.left), (0, -1, window.right), (1, 1, window.bottom), (1, -1, window.top)
    ):  # fmt: skip
        kept: list[Point] = []
        for a, b in zip(shape, [*shape[1:], *shape[:1]], strict=True):
            off_a, off_b = sign * (a[axis] - limit), sign * (b[axis] - limit)
            kept += [a] if off_a >= 0.0 else []
            if (off_a < 0.0) != (off_b < 0.0):
                share = off_a / (off_a - off_b)
                kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
        shape = kept
    return shape


def split(segment: Segment, gaps: Sequence[tuple[float, float]]) -> list[Segment]:
    """What is left of a segment when stretches (distances from its start) are cut out."""
    start, end = segment
    direction, whole = unit(start, end), hypot(end[0] - start[0], end[1] - start[1])
    at, out = 0.0, []
    for low, high in sorted((max(0.0, a), min(whole, b)) for a, b in gaps if b > 0 and a < whole):
        if low > at + NEAR:
            out.append((moved(start, direction, at), moved(start, direction, low)))
        at = max(at, high)
    if whole > at + NEAR:
        out.append((moved(start, direction, at), end))
    return out


def crossing(segment: Segment, other: Segment) -> Point | None:
    """Where an upright and a level segment meet, their ends counted in."""
    a, b = around(segment), around(other)
    level, upright = (a, b) if a.height < NEAR < a.width else (b, a)
    if level.height > NEAR or upright.width > NEAR:
        return None
    x, y = upright.left, level.bottom
    meets = level.left - NEAR <= x <= level.right + NEAR and upright.bottom - NEAR <= y <= upright.top + NEAR
    return (x, y) if meets else None


def hatch_lines(points: Sequence[Point], spacing: float, angle: float) -> Iterator[Segment]:
    """Parallel lines inside a polygon: turn it until they are level, cut each level, turn back.

    Lines lie at whole multiples of the spacing from the sheet's origin, so neighbours join up.
    """
    if spacing <= 0 or len(points) < 3:
        return
    c, s = cos(angle % pi), sin(angle % pi)
    level = [(x * c + y * s, -x * s + y * c) for x, y in points]
    edges = list(zip(level, [*level[1:], level[0]], strict=True))
    lowest, highest = min(y for _, y in level), max(y for _, y in level)
    for step in range(ceil(lowest / spacing), floor(highest / spacing) + 1):
        v = step * spacing
        crossings = sorted(
            x0 + (x1 - x0) * (v - y0) / (y1 - y0) for (x0, y0), (x1, y1) in edges if (y0 <= v) != (y1 <= v)
        )
        for u0, u1 in zip(crossings[::2], crossings[1::2], strict=True):
            if u1 - u0 > 1e-6:
                yield (u0 * c - v * s, u0 * s + v * c), (u1 * c - v * s, u1 * s + v * c)
