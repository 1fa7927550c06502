"""The lid in plan: where members, joints and obstacles lie, and what a hole keeps off. Metres."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

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
class Rect:
    """An upright rectangle in plan; a line or a point where a side is zero."""

    x0: float
    y0: float
    x1: float
    y1: float

    def in_band(self, band: RunFrame) -> Rect:
        """The same rectangle with x = sigma and y = back of `band`."""
        (a, b), (c, d) = band.local((self.x0, self.y0)), band.local((self.x1, self.y1))
        return Rect(min(a, c), min(b, d), max(a, c), max(b, d))

    def distance(self, x: np.ndarray, y: np.ndarray) -> np.ndarray:
        """Distance in plan from points to the rectangle, 0 inside; any one shape."""
        return np.hypot(
            np.maximum(np.maximum(self.x0 - x, x - self.x1), 0.0),
            np.maximum(np.maximum(self.y0 - y, y - self.y1), 0.0),
        )


def rect(band: RunFrame, sigma: tuple[float, float], back: tuple[float, float]) -> Rect:
    (a, b), (c, d) = band.point(sigma[0], back[0]), band.point(sigma[1], back[1])
    return Rect(min(a, c), min(b, d), max(a, c), max(b, d))


@dataclass(frozen=True, slots=True)
class Keepout:
    """Ground a hole's centre should stay out of: within `reach` of `rect`.

    What is told to people is `distance - offset` against `reach - offset` (say, from the hole's edge).
    """

    rule: str  # as in Clash.rule
    hard: bool
    name: str
    rect: Rect
    reach: float
    offset: float
    spare: float = 0.0  # members: room beyond `reach` that is welcome

    def span(self, band: RunFrame, extra: float = 0.0) -> tuple[float, float] | None:
        """Open interval of sigma on the run's tube that lies within reach (+ extra), or None."""
        local, reach = self.rect.in_band(band), self.reach + extra
        across = max(local.y0 - band.back, band.back - local.y1, 0.0)
        if across >= reach - NEAR:
            return None
        half = math.sqrt(reach * reach - across * across)
        return (local.x0 - half, local.x1 + half)


# ------------------------------------------------------------------ what lies in the lid


def is_solid(framing: Framing, extent: float) -> bool:
    """Members that touch each other, or are past counting: no bay between them."""
    spacing = framing.spacing
    if framing.as_framed or spacing is None or spacing <= 0:
        return False
    return spacing <= framing.width or extent / spacing > MOST_MEMBERS


def members(band: RunFrame) -> list[tuple[Member, Rect]]:
    """Members of one run with their rectangles, in the order of the tape."""
    framing, depth, (low, high) = band.run.framing, band.depth, band.owned
    if framing.as_framed and framing.lies == "across":  # the tape found them there, whoever's square it is
        low, high = band.reach
    if high - low <= 0:
        return []
    out = []
    if framing.lies == "along":
        extent = depth
        for c in centres(framing, 0.0, depth):
            line = (band.point(low, c), band.point(high, c))
            box = rect(band, (low, high), (c - framing.width / 2, c + framing.width / 2))
            out.append((Member(band.run.name, line, framing.width, None), box))
    else:
        extent = high - low
        ends = sorted((band.along(low), band.along(high)))
        for c in centres(framing, ends[0], ends[1]):
            s = band.sigma(c)
            line = (band.point(s, 0.0), band.point(s, depth))
            box = rect(band, (s - framing.width / 2, s + framing.width / 2), (0.0, depth))
            out.append((Member(band.run.name, line, framing.width, c), box))
    if is_solid(framing, extent):
        middle = (low + high) / 2
        line = (band.point(middle, 0.0), band.point(middle, depth))
        solid = Member(band.run.name, line, high - low, band.along(middle))
        return [(solid, rect(band, (low, high), (0.0, depth)))]
    return out


def joint_lines(band: RunFrame) -> list[JointLine]:
    run, depth = band.run, band.depth
    return [
        JointLine(j, run.name, (band.point(band.sigma(j.along), 0.0), band.point(band.sigma(j.along), depth)))
        for j in run.joints
    ]


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
    x, y = thing.point
    middle = Rect(x, y, x, y)
    if thing.radius is not None:
        yield Keepout("sweep", True, thing.name, middle, thing.radius + thing.clearance, thing.radius)
        return
    xs, ys = [p[0] for p in thing.outline], [p[1] for p in thing.outline]
    body = Rect(min(xs), min(ys), max(xs), max(ys))
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
            box = rect(band, (0.0, band.run.length), (0.0, patio.edge_beam.width))
            keep.append(Keepout("member", True, "edge beam", box, reach, rules.hole / 2))
        for line in joint_lines(band):
            joints.append(line)
            (x0, y0), (x1, y1) = line.line
            box = Rect(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
            keep.append(Keepout("joint", True, line.joint.name, box, rules.clear_of_joints, 0.0))
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
        if band.reach[0] - NEAR <= s <= band.reach[1] + NEAR and -NEAR <= back <= band.depth + NEAR:
            return True
    return False


Side = tuple[Point, Point]


def sides(plan: Plan) -> tuple[tuple[Side, ...], tuple[Side, ...]]:
    """Walls and open edges. Open ones are walked with the patio on the left; a wall goes as it comes."""
    bands, patio = plan.bands, plan.patio
    edge, back = edge_path(bands), house_path(bands)
    walls: list[Side] = []
    open_edges: list[Side] = list(itertools.pairwise(edge))
    if patio.back == "wall":
        walls += itertools.pairwise(back)
    else:
        open_edges += itertools.pairwise(reversed(back))
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
    depth, out = band.depth, screen.out
    if screen.side in ("start", "end"):
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
    return band.point(high, depth + out), band.point(low, depth + out)
