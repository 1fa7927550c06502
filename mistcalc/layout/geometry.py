"""The lid in plan: where members, joints and obstacles lie, and what a hole keeps off. Metres."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from mistcalc.layout.run_frames import (
    MOST_MEMBERS,
    NEAR,
    RunFrame,
    Tape,
    bands,
    centres,
    edge_path,
    house_path,
    tape_of,
)
from mistcalc.model.project import Framing, Obstacle, Patio, Screen
from mistcalc.model.results import JointLine, Member, PlacedObstacle, PlacedScreen, PlacedSeat, Point
from mistcalc.model.run_extents import back_from_start

NOT_IN_CEILING = ("grill", "door glass")  # stand under or beside the lid: never a body over a hole


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle in plan, any way round: from `origin` it goes `long` along `ahead` (a unit vector) and
    `deep` to the left of that; a line or a point where these are 0."""

    origin: Point
    ahead: Point
    long: float
    deep: float

    @classmethod
    def of(cls, corners: Sequence[Point]) -> Rectangle:
        """By its corners in order: one, both ends of a line, or four."""
        first, along, across = corners[0], corners[1 % len(corners)], corners[-1 % len(corners)]
        long, deep = math.dist(first, along), math.dist(first, across) if len(corners) > 2 else 0.0
        if long > 0:
            return cls(first, ((along[0] - first[0]) / long, (along[1] - first[1]) / long), long, deep)
        if deep > 0:
            return cls(first, ((across[1] - first[1]) / deep, (first[0] - across[0]) / deep), 0.0, deep)
        return cls(first, (1.0, 0.0), 0.0, 0.0)

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        (x, y), (ax, ay) = self.origin, self.ahead
        dx, dy, ex, ey = self.long * ax, self.long * ay, -self.deep * ay, self.deep * ax
        return (x, y), (x + dx, y + dy), (x + dx + ex, y + dy + ey), (x + ex, y + ey)

    def in_band(self, band: RunFrame) -> Rectangle:
        """The same with x = sigma and y = back of `band`."""
        (ax, ay), (bx, by), (hx, hy) = self.ahead, band.ahead, band.house
        ahead = (ax * bx + ay * by, ax * hx + ay * hy)
        return Rectangle(band.local(self.origin), ahead, self.long, self.deep)

    def near(self, y: float, reach: float) -> tuple[float, float] | None:
        """From where to where the level line at `y` is within `reach` of it. It leaves that ground on the
        circle round a corner, or on the line beside a side."""
        (x0, y0), (ax, ay), long, deep = self.origin, self.ahead, self.long, self.deep
        dy, ey = long * ay, deep * ax
        across = max(y0 + min(dy, 0.0) + min(ey, 0.0) - y, y - y0 - max(dy, 0.0) - max(ey, 0.0), 0.0)
        if across >= reach - NEAR:
            return None
        if abs(ax) < NEAR or abs(ay) < NEAR:  # upright or level
            half, dx, ex = math.sqrt(reach * reach - across * across), long * ax, -deep * ay
            return x0 + min(dx, 0.0) + min(ex, 0.0) - half, x0 + max(dx, 0.0) + max(ex, 0.0) + half
        stops, corners = [], self.corners
        for (xa, ya), (xb, yb) in pairwise((*corners, corners[0])):
            if abs(y - ya) < reach:
                half = math.sqrt(reach * reach - (y - ya) ** 2)
                stops += [xa - half, xa + half]
            size = math.hypot(xb - xa, yb - ya)
            for off in (-reach, reach) if size > 0 else ():
                share = (y - ya - off * (xb - xa) / size) / (yb - ya)
                if 0.0 <= share <= 1.0:
                    stops.append(xa + share * (xb - xa) - off * (yb - ya) / size)
        return min(stops), max(stops)

    def distance(self, x: np.ndarray, y: np.ndarray) -> np.ndarray:
        """Distance from points to it, 0 inside; any one shape."""
        (ax, ay), dx, dy = self.ahead, x - self.origin[0], y - self.origin[1]
        along, across = dx * ax + dy * ay, dy * ax - dx * ay
        return np.hypot(
            np.maximum(np.maximum(-along, along - self.long), 0.0),
            np.maximum(np.maximum(-across, across - self.deep), 0.0),
        )


def rectangle(band: RunFrame, sigma: tuple[float, float], back: tuple[float, float]) -> Rectangle:
    origin = band.point(sigma[0], back[0])
    return Rectangle(origin, band.ahead, sigma[1] - sigma[0], back[1] - back[0])


@dataclass(frozen=True, slots=True)
class Keepout:
    """Ground a hole's centre should stay out of: within `reach` of `ground`.

    What is told to people is `distance - offset` against `reach - offset` (say, from the hole's edge).
    """

    rule: str  # as in Clash.rule
    hard: bool
    name: str
    ground: Rectangle
    reach: float
    offset: float
    spare: float = 0.0  # members: room beyond `reach` that is welcome

    def span(self, band: RunFrame, extra: float = 0.0) -> tuple[float, float] | None:
        """Open interval of sigma on the run's tube that lies within reach (+ extra), or None."""
        return self.ground.in_band(band).near(band.back, self.reach + extra)


# ------------------------------------------------------------------ what lies in the lid


def is_solid(framing: Framing, extent: float) -> bool:
    """Members that touch each other, or are past counting: no bay between them."""
    spacing = framing.spacing
    if framing.as_framed or spacing is None or spacing <= 0:
        return False
    return spacing <= framing.width or extent / spacing > MOST_MEMBERS


def members(band: RunFrame) -> list[tuple[Member, Rectangle]]:
    """Members of one run with their rectangles, in the order of the tape."""
    framing, depth, (low, high) = band.run.framing, max(band.depths), band.owned
    if framing.as_framed and framing.lies == "across":  # the tape found them there, whoever's square it is
        low, high = band.reach
    if band.slants[0]:  # at a bend they go to the line that halves it
        low = band.reach[0]
    if band.slants[1]:
        high = band.reach[1]
    if high - low <= 0:
        return []
    out = []
    if framing.lies == "along":
        extent = depth
        for c in centres(framing, 0.0, depth):
            start, end = _under_lid(band, c, (low, high))
            if end - start <= NEAR:
                continue
            line = (band.point(start, c), band.point(end, c))
            box = rectangle(band, (start, end), (c - framing.width / 2, c + framing.width / 2))
            out.append((Member(band.run.name, line, framing.width, None), box))
    else:
        extent = high - low
        ends = sorted((band.along(low), band.along(high)))
        for c in centres(framing, ends[0], ends[1]):
            s = band.sigma(c)
            near, far = band.across(s)
            if far - near <= NEAR:
                continue
            line = (band.point(s, near), band.point(s, far))
            box = rectangle(band, (s - framing.width / 2, s + framing.width / 2), (near, far))
            out.append((Member(band.run.name, line, framing.width, c), box))
    if is_solid(framing, extent):
        middle = (low + high) / 2
        line = (band.point(middle, 0.0), band.point(middle, depth))
        solid = Member(band.run.name, line, high - low, band.along(middle))
        return [(solid, rectangle(band, (low, high), (0.0, depth)))]
    return out


def _under_lid(band: RunFrame, back: float, reach: tuple[float, float]) -> tuple[float, float]:
    """From where to where a member so far back lies under its run's lid: to the middle line of a bend, and no
    farther than a taper is deep there."""
    (start, end), (low, high) = band.between(back), reach
    low, high = max(low, start), min(high, end)
    (first, start), (last, end) = band.back_corners
    if back > min(start, end) + NEAR:
        here = first + (back - start) / (end - start) * (last - first)
        low, high = (max(low, here), high) if end > start else (low, min(high, here))
    return low, high


def joint_lines(band: RunFrame) -> list[JointLine]:
    return [JointLine(j, band.run.name, band.cut(band.sigma(j.along))) for j in band.run.joints]


def placed(obstacle: Obstacle, band: RunFrame) -> PlacedObstacle:
    s, (width, deep) = band.sigma(obstacle.along), obstacle.size
    fan = obstacle.kind == "fan"
    corners = () if fan else tuple(
        band.point(s + i * width / 2, obstacle.back + j * deep / 2)
        for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )  # fmt: skip
    return PlacedObstacle(
        obstacle.name, obstacle.kind, obstacle.run, obstacle.along, obstacle.back,
        band.point(s, obstacle.back), corners, width / 2 if fan else None, obstacle.clearance,
    )  # fmt: skip


def obstacle_keepouts(thing: PlacedObstacle, hole: float) -> Iterator[Keepout]:
    """Fan: sweep + clearance, hard. Else the body over the hole, hard, and the clearance, judgement:
    from the hole's centre to the middle of a light, to the edge of anything else."""
    middle = Rectangle.of((thing.point,))
    if thing.radius is not None:
        yield Keepout("sweep", True, thing.name, middle, thing.radius + thing.clearance, thing.radius)
        return
    body = Rectangle.of(thing.outline)
    if thing.kind not in NOT_IN_CEILING:
        yield Keepout("body", True, thing.name, body, hole / 2, hole / 2)
    if thing.clearance > 0:
        yield Keepout(
            "clearance", False, thing.name, middle if thing.kind == "light" else body, thing.clearance, 0.0
        )


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything the rows are laid on, in plan."""

    patio: Patio
    tape: Tape
    bands: tuple[RunFrame, ...]
    members: tuple[Member, ...]
    joints: tuple[JointLine, ...]
    obstacles: tuple[PlacedObstacle, ...]
    seats: tuple[PlacedSeat, ...]
    keepouts: tuple[Keepout, ...]

    def band(self, run: str) -> RunFrame:
        return next(b for b in self.bands if b.run.name == run)


def plan_of(patio: Patio) -> Plan:
    """Lay the patio out in plan. Obstacles and seats of a run that does not exist are left out."""
    rules, tape = patio.marks, tape_of(patio.marks)
    all_bands = bands(patio, tape)
    by_name = {b.run.name: b for b in all_bands}
    wood: list[Member] = []
    joints: list[JointLine] = []
    keep: list[Keepout] = []
    reach = rules.hole / 2 + rules.clear_of_members
    for band in all_bands:
        spare = tape.unit / 2 if band.run.framing.as_framed else tape.unit
        for n, (member, box) in enumerate(members(band), 1):
            wood.append(member)
            name = f"{band.run.name} member {n}"
            keep.append(Keepout("member", True, name, box, reach, rules.hole / 2, spare))
        if patio.edge_beam.width > 0:
            box = rectangle(band, (0.0, band.run.length), (0.0, patio.edge_beam.width))
            keep.append(Keepout("member", True, "edge beam", box, reach, rules.hole / 2))
        for line in joint_lines(band):
            joints.append(line)
            across = Rectangle.of(line.line)
            keep.append(Keepout("joint", True, line.joint.name, across, rules.clear_of_joints, 0.0))
    things: list[PlacedObstacle] = []
    for obstacle in (o for o in patio.obstacles if o.run in by_name):
        thing, band = placed(obstacle, by_name[obstacle.run]), by_name[obstacle.run]
        around = list(obstacle_keepouts(thing, rules.hole))
        spans = filter(None, (keepout.span(band) for keepout in around))
        things.append(replace(thing, keeps_off=max(((high - low) / 2 for low, high in spans), default=0.0)))
        keep += around
    seats = tuple(
        PlacedSeat(s.name, s.run, by_name[s.run].point(by_name[s.run].sigma(s.along), s.back))
        for s in patio.seats
        if s.run in by_name
    )
    return Plan(patio, tape, all_bands, tuple(wood), tuple(joints), tuple(things), seats, tuple(keep))


# ------------------------------------------------------------------ outline


def polygon_area(points: tuple[Point, ...]) -> float:
    """Area by the shoelace sum, m2."""
    x, y = np.array(points).T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def in_lid(plan: Plan, point: Point) -> bool:
    """Whether a plan point lies in the lid, its border counted in."""
    for band in plan.bands:
        s, back = band.local(point)
        low, high = band.between(back)
        if low - NEAR <= s <= high + NEAR and -NEAR <= back <= band.depth_at(s) + NEAR:
            return True
    return False


Side = tuple[Point, Point]


def sides(plan: Plan) -> tuple[tuple[Side, ...], tuple[Side, ...]]:
    """Walls and open edges. Open ones are walked with the patio on the left; a wall goes as it comes."""
    bands, patio = plan.bands, plan.patio
    edge, back = edge_path(bands), house_path(bands)
    walls: list[Side] = []
    open_edges: list[Side] = list(pairwise(edge))
    if patio.back == "wall":
        walls += pairwise(back)
    else:
        open_edges += pairwise(reversed(back))
    ends = ((bands[0].run.starts_at, (back[0], edge[0])), (bands[-1].run.ends_at, (edge[-1], back[-1])))
    for kind, side in () if patio.is_ring else ends:
        (walls if kind == "wall" else open_edges).append(side)
    return tuple(walls), tuple(open_edges)


def screens(plan: Plan) -> tuple[PlacedScreen, ...]:
    """Where the patio's screens stand. One of a run that does not exist is left out."""
    by_name = {band.run.name: band for band in plan.bands}
    return tuple(
        PlacedScreen(
            screen.name,
            screen.run,
            _line(plan.patio, screen, by_name[screen.run]),
            screen.height,
            screen.open,
            screen.out,
        )
        for screen in plan.patio.screens
        if screen.run in by_name
    )


def _line(patio: Patio, screen: Screen, band: RunFrame) -> Side:
    out = screen.out
    if screen.side in ("start", "end"):
        depth = band.depths[screen.side == "end"]
        outside = -out if screen.side == "start" else band.run.length + out
        line = band.point(outside, 0.0), band.point(outside, depth)
        return line if screen.side == "end" else line[::-1]
    if screen.start is not None and screen.end is not None:
        low, high = sorted((band.sigma(screen.start), band.sigma(screen.end)))
    elif screen.side == "edge":
        low, high = 0.0, band.run.length
    else:
        low, high = back_from_start(patio, patio.runs.index(band.run))
    if screen.side == "edge":
        return band.point(low, -out), band.point(high, -out)
    return band.point(high, band.depth_at(high) + out), band.point(low, band.depth_at(low) + out)
