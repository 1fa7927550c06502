"""Arcs of a drawing as straight pieces: the edge as strings are pulled along it, anything else finely."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from mistcalc.units import parse

Point = tuple[float, float]
LONGEST = parse("6 ft", "length")  # string
OFF_CURVE = parse("2 in", "length")  # most that the middle of a string stands off the edge
LEAST_TURN = math.radians(2.0)  # from string to string: at the ends of an arc half of it is still a bend
FINE = 0.002  # m: the same of what nobody pulls a string along
FINEST = math.radians(0.2)
LEAST_BULGE, MOST_BULGE = 1e-6, 1e3  # less is straight; more is no arc that anybody draws


def with_chords(
    points: Sequence[Point], bulges: Sequence[float], metres: float, strings: bool
) -> Iterator[Point]:
    """A path with its arcs as chords. bulges: of the piece after each point, tangent of a quarter of what it
    turns left. metres: in a unit of the drawing. strings: whether it is the edge."""
    for n, point in enumerate(points):
        yield point
        if n + 1 < len(points) and is_arc(bulges[n]):
            yield from _between(point, points[n + 1], bulges[n], metres, strings)


def is_arc(bulge: float) -> bool:
    return LEAST_BULGE < abs(bulge) < MOST_BULGE


def _between(start: Point, end: Point, bulge: float, metres: float, strings: bool) -> Iterator[Point]:
    sweep, chord = 4.0 * math.atan(bulge), math.dist(start, end)
    if chord == 0.0:
        return
    radius = chord / 2 / math.sin(sweep / 2)  # below zero: to the right
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    off = radius * math.cos(sweep / 2) / chord
    middle = x - off * (end[1] - start[1]), y + off * (end[0] - start[0])
    count = _pieces(abs(sweep), abs(radius) * metres, strings)
    dx, dy = start[0] - middle[0], start[1] - middle[1]
    for k in range(1, count):
        c, s = math.cos(sweep * k / count), math.sin(sweep * k / count)
        yield middle[0] + c * dx - s * dy, middle[1] + s * dx + c * dy


def _pieces(sweep: float, radius: float, strings: bool) -> int:
    """How many chords: no longer than a string, and no farther off the arc."""
    off = OFF_CURVE if strings else FINE
    each = 2.0 * math.acos(max(1.0 - off / radius, 0.0))
    if not strings:
        each = max(each, FINEST)
    else:
        each = max(min(each, 2.0 * math.asin(min(LONGEST / 2 / radius, 1.0)), math.pi / 4), LEAST_TURN)
    return max(1, math.ceil(sweep / each - 1e-6))
