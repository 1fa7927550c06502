"""How deep the lid of a drawing is over a run: what lies on the house's side of its edge, square to it, and
at a bend on the line that halves it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from mistcalc.files.plan_drawing.shapes import Point
from mistcalc.model.project import Corner
from mistcalc.model.run_extents import spread_of

Segment = tuple[Point, Point]
Barrier = tuple[Segment, bool]  # a line, and whether it is a wall

TOUCH = 0.05  # m: a wall so near a side of the ceiling stands on it
SAME = 0.001  # m: corners nearer than that are one
NEAREST_BACK = 0.3  # m: the least depth of a lid
FARTHEST_BACK = 100.0
SHARES = (0.5, 0.25, 0.75)  # of a side, where is looked what lies behind it
STEEPEST = math.tan(math.radians(60.0))  # a line steeper than that to the edge is no wall behind it
STRAIGHT = 1.0  # deg: less is no corner; what is so near a right angle is one
MOST_BEND = 45.0  # deg


class Hit(NamedTuple):
    """What a line from the edge comes upon."""

    far: float
    wall: bool
    slanted: bool  # not along the edge


@dataclass(frozen=True)
class Behind:
    """What lies behind a run."""

    depths: tuple[float, float]  # at its start and its end
    wall: bool
    lines: tuple[tuple[float, bool], ...]  # all there is: how far, and whether a wall
    uneven: bool  # the house does not stand straight from one depth to the other
    odd: bool  # its depths differ, and a corner asks for one


def turn_of(side: Segment, after: Segment) -> float:
    """How far the walk turns left, rad."""
    headings = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in (side, after)]
    return math.remainder(headings[1] - headings[0], 2 * math.pi)


def corner_of(side: Segment, after: Segment | None) -> tuple[Corner | None, float]:
    """What two sides meet at, and how far a bend turns; told of one that is too sharp for a bend too."""
    if after is None:
        return None, 0.0
    turn = turn_of(side, after)
    size = round(math.degrees(abs(turn)), 2)
    if size < STRAIGHT:
        return "straight", 0.0
    if abs(size - 90.0) <= STRAIGHT:
        return ("outside" if turn > 0 else "inside"), 0.0
    return ("outside bend" if turn > 0 else "inside bend"), abs(turn)


def behind(sides: Sequence[Segment], n: int, ring: bool, barriers: Sequence[Barrier]) -> Behind | None:
    """What lies behind a side of the edge; None where nothing does."""
    side = sides[n]
    before = sides[n - 1] if n or ring else None
    after = sides[(n + 1) % len(sides)] if ring or n + 1 < len(sides) else None
    corners = corner_of(before, side)[0] if before else None, corner_of(side, after)[0]
    bent = [bool(corner and corner.endswith("bend")) for corner in corners]
    square = [corner in ("inside", "outside") for corner in corners]
    seen = [hit for share in SHARES if (hit := _first(square_hits(side, share, barriers))) is not None]
    if not seen:
        return None
    most = min(seen, key=lambda hit: sum(abs(hit.far - other.far) for other in seen))
    lines = tuple((hit.far, hit.wall) for share in SHARES for hit in square_hits(side, share, barriers))
    slanted = all(hit.slanted for hit in seen)
    if not any(bent) and (not slanted or any(square)):
        return Behind((most.far, most.far), most.wall, lines, False, slanted)
    ends: list[float | None] = []
    for met, share in ((before, 0.0), (after, 1.0)):
        if met is not None and bent[len(ends)]:
            ends.append(_at_bend(*((met, side) if share == 0.0 else (side, met)), barriers))
        else:
            ends.append(None if square[len(ends)] else _depth_at(side, share, barriers))
    known = next((end for end in ends if end is not None), None)
    if known is None or any(end is None for end, bends in zip(ends, bent, strict=True) if bends):
        return None
    start, end = (known if each is None else each for each in ends)
    if abs(start - end) < SAME / 2:
        end = start  # no taper: the drawing is no finer
    low = -spread_of(*corner_of(before, side)) * start if before else 0.0
    high = math.dist(*side) + spread_of(*corner_of(side, after)) * end
    uneven = _uneven(side, ((low, start), (high, end)), barriers)
    return Behind(
        (start, end), most.wall, lines, uneven, any(square) and (slanted or abs(start - end) > TOUCH)
    )


def _uneven(side: Segment, wall: tuple[Point, Point], barriers: Sequence[Barrier]) -> bool:
    """Whether the house stands elsewhere than on a straight line, whose ends are told from the side's start
    and back from it."""
    (low, start), (high, end) = wall
    for share in SHARES:
        place = (share * math.dist(*side) - low) / (high - low) if high > low else -1.0
        hit = _first(square_hits(side, share, barriers))
        if hit and 0.0 <= place <= 1.0 and abs(start + place * (end - start) - hit.far) > TOUCH:
            return True
    return False


def _depth_at(side: Segment, share: float, barriers: Sequence[Barrier]) -> float | None:
    """How deep the lid is at an end of a side, square to it: told by what is just beside it, for at the end
    itself another wall may begin."""
    nudge = 2 * SAME / math.dist(*side) * (1.0 if share == 0.0 else -1.0)
    near, far = (_first(square_hits(side, share + n * nudge, barriers)) for n in (1, 2))
    if near is None or far is None:
        return near and near.far
    return 2 * near.far - far.far if abs(near.far - far.far) < TOUCH else near.far


def _at_bend(side: Segment, after: Segment, barriers: Sequence[Barrier]) -> float | None:
    """How deep the lid is where two sides meet: to where the line that halves their bend comes upon the
    house, square to either edge."""
    half = turn_of(side, after) / 2
    heading = math.atan2(side[1][1] - side[0][1], side[1][0] - side[0][0]) + half
    hit = _first(_hits(side[1], (math.cos(heading), math.sin(heading)), barriers))
    return None if hit is None else hit.far * math.cos(half)


def square_hits(side: Segment, share: float, barriers: Sequence[Barrier]) -> list[Hit]:
    """What lies to the left of a place on a side."""
    (x0, y0), (x1, y1) = side
    size = math.dist(*side)
    ahead = (x1 - x0) / size, (y1 - y0) / size
    return _hits((x0 + share * (x1 - x0), y0 + share * (y1 - y0)), ahead, barriers)


def _hits(place: Point, ahead: Point, barriers: Sequence[Barrier]) -> list[Hit]:
    (x, y), (ax, ay) = place, ahead
    hits: list[Hit] = []
    for (a, b), wall in barriers:
        s0, s1 = ((px - x) * ax + (py - y) * ay for px, py in (a, b))
        b0, b1 = (-(px - x) * ay + (py - y) * ax for px, py in (a, b))
        slanted = abs(b1 - b0) >= TOUCH
        if not min(s0, s1) - SAME <= 0.0 <= max(s0, s1) + SAME:
            continue
        if slanted and abs(b1 - b0) > STEEPEST * abs(s1 - s0):
            continue
        share = min(max(-s0 / (s1 - s0), 0.0), 1.0) if abs(s1 - s0) > SAME else 0.5
        far = b0 + share * (b1 - b0)
        if NEAREST_BACK - SAME < far <= FARTHEST_BACK:
            hits.append(Hit(far, wall, slanted))
    return hits


def _first(hits: Sequence[Hit]) -> Hit | None:
    if not hits:
        return None
    nearest = min(hits)
    return nearest._replace(wall=any(hit.wall and hit.far - nearest.far < TOUCH for hit in hits))
