"""The lid in plan: where runs, tube, members, joints and obstacles lie.

The open edge is walked with the house on the left; the first run heads +x, so its house is at +y.
At an inside corner (the lid wraps a court) the walk turns right, at an outside corner (the lid wraps the
house) left. Two coordinates serve one run: `sigma`, from the run's start in the direction walked, and
`along`, from the run's datum, which may be either end. All lengths in metres.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from mistcalc.model.project import Framing, MarkRules, Obstacle, Patio, Run
from mistcalc.model.results import JointLine, Member, PlacedObstacle, PlacedSeat, Point
from mistcalc.model.run_extents import SAME, framed_reach, lid_reach, tube_reach
from mistcalc.units import parse

INCH = parse("1 in", "length")
NEAR = SAME
MOST_MEMBERS = 5000  # of one run; more than that is a slab of wood, and drawn as one
FARTHEST_SHIFT = 48  # of the line off a member along it, in tape units
NOT_IN_CEILING = ("grill", "door glass")  # stand under or beside the lid: never a body over a hole


@dataclass(frozen=True, slots=True)
class Tape:
    """What the crew's tape is read to. `step` is the grid; `unit` 1 in, or 25 mm on a metric tape."""

    step: float
    unit: float
    imperial: bool

    @property
    def units(self) -> float:
        """Grid steps in one unit (8 for eighths of an inch, 5 for 5 mm)."""
        return self.unit / self.step

    @property
    def half(self) -> float:
        """The finer rung, of pitches and of the line's shift: 1/2 in or 10 mm, in metres."""
        return INCH / 2 if self.imperial else 0.010


def tape_of(rules: MarkRules) -> Tape:
    """An inch tape if the grid divides an inch, else a metric one."""
    per_inch = INCH / rules.grid
    imperial = per_inch > 0.5 and abs(per_inch - round(per_inch)) < 1e-6
    return Tape(rules.grid, INCH if imperial else 0.025, imperial)


@dataclass(frozen=True, slots=True)
class RunFrame:
    """One run's strip of lid: edge from `origin` heading `ahead`, house side `house` (unit vectors)."""

    run: Run
    origin: Point
    ahead: tuple[int, int]
    house: tuple[int, int]
    back: float  # tube behind the open edge
    tube: tuple[float, float]  # sigma where the tube starts and ends
    owned: tuple[float, float]  # sigma range this run's members, joints and panels cover
    reach: tuple[float, float]  # sigma range of lid, corner squares counted in

    def sigma(self, along: float) -> float:
        return along if self.run.datum.end == "start" else self.run.length - along

    along = sigma  # its own inverse

    def point(self, sigma: float, back: float) -> Point:
        (ox, oy), (ax, ay), (hx, hy) = self.origin, self.ahead, self.house
        return (ox + sigma * ax + back * hx, oy + sigma * ay + back * hy)

    def local(self, point: Point) -> tuple[float, float]:
        """(sigma, back) of a plan point."""
        dx, dy = point[0] - self.origin[0], point[1] - self.origin[1]
        return (dx * self.ahead[0] + dy * self.ahead[1], dx * self.house[0] + dy * self.house[1])


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


# ------------------------------------------------------------------ runs


def line_back(patio: Patio, run: Run, tape: Tape) -> float:
    """How far behind the edge the tube of `run` lies: as stated, unless a member lies along it.

    Then the least multiple of 1/2 in (10 mm) that clears it, toward the house first, never nearer the
    edge than two units. No such place: as stated, and the marks' rules report it.
    """
    rules, framing = patio.marks, run.framing
    wood = [(0.0, patio.edge_beam.width)] if patio.edge_beam.width > 0 else []
    if framing.lies == "along":
        half = framing.width / 2
        wood += [(c - half, c + half) for c in centres(framing, 0.0, patio.depth)]
    need = rules.hole / 2 + rules.clear_of_members - NEAR

    def clear(back: float) -> bool:
        return all(back - high >= need or low - back >= need for low, high in wood)

    stated = patio.line_behind_edge
    if clear(stated):
        return stated
    for k in range(1, int(FARTHEST_SHIFT * tape.unit / tape.half) + 1):
        toward_house, toward_edge = stated + k * tape.half, stated - k * tape.half
        if toward_house <= patio.depth and clear(toward_house):
            return toward_house
        if toward_edge >= 2 * tape.unit - NEAR and clear(toward_edge):
            return toward_edge
    return stated


def bands(patio: Patio, tape: Tape) -> tuple[RunFrame, ...]:
    """The runs laid out in plan, in the order walked."""
    depth = patio.depth
    backs = [line_back(patio, run, tape) for run in patio.runs]
    x, y, ahead = 0.0, 0.0, (1, 0)
    out: list[RunFrame] = []
    for i, run in enumerate(patio.runs):
        house = (-ahead[1], ahead[0])
        before = patio.runs[i - 1] if i else None
        corner_before = before.corner if before is not None else None
        corner_after = run.corner if i + 1 < len(patio.runs) else None
        near = (backs[i - 1] if i else 0.0, backs[i + 1] if corner_after else 0.0)
        tube = tube_reach(run.length, (corner_before, corner_after), near)
        reach = lid_reach(run.length, corner_before, corner_after, depth)
        covered = (before is not None and before.framing.covers_corner, run.framing.covers_corner)
        owned = framed_reach(run.length, (corner_before, corner_after), depth, covered)
        out.append(RunFrame(run, (x, y), ahead, house, backs[i], tube, owned, reach))
        x, y = x + run.length * ahead[0], y + run.length * ahead[1]
        if run.corner is not None:
            ahead = (ahead[1], -ahead[0]) if run.corner == "inside" else house
    return tuple(out)


# ------------------------------------------------------------------ what lies in the lid


def centres(framing: Framing, low: float, high: float) -> list[float]:
    """Member centres from `low` to `high` of the tape. Regular members also go on behind the datum."""
    if framing.as_framed:
        return sorted(c for c in framing.centres if low - NEAR <= c <= high + NEAR)
    if framing.spacing is None or framing.first is None or framing.spacing <= 0:
        return []
    first, spacing = framing.first, framing.spacing
    ahead = range(max(0, math.ceil((low - first) / spacing - 1e-9)), _floor((high - first) / spacing) + 1)
    behind = range(math.ceil((low - first) / spacing - 1e-9), min(0, math.ceil(-first / spacing - 1e-9)))
    if len(ahead) + len(behind) > MOST_MEMBERS:
        return []
    return [first + k * spacing for k in (*behind, *ahead)]


def _floor(value: float) -> int:
    return math.floor(value + 1e-9)


def is_solid(framing: Framing, extent: float) -> bool:
    """Members that touch each other, or are past counting: no bay between them."""
    spacing = framing.spacing
    if framing.as_framed or spacing is None or spacing <= 0:
        return False
    return spacing <= framing.width or extent / spacing > MOST_MEMBERS


def members(band: RunFrame, depth: float) -> list[tuple[Member, Rect]]:
    """Members of one run with their rectangles, in the order of the tape."""
    framing, (low, high) = band.run.framing, band.owned
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


def joint_lines(band: RunFrame, depth: float) -> list[JointLine]:
    run = band.run
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
        for n, (member, box) in enumerate(members(band, patio.depth), 1):
            wood.append(member)
            name = f"{band.run.name} member {n}"
            keep.append(Keepout("member", True, name, box, reach, rules.hole / 2, spare))
        if patio.edge_beam.width > 0:
            box = rect(band, (0.0, band.run.length), (0.0, patio.edge_beam.width))
            keep.append(Keepout("member", True, "edge beam", box, reach, rules.hole / 2))
        for line in joint_lines(band, patio.depth):
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


def house_path(all_bands: tuple[RunFrame, ...], depth: float) -> list[Point]:
    """The house wall: the open edge set back by the lid's depth."""
    path = [all_bands[0].point(0.0, depth)]
    for here, after in itertools.pairwise(all_bands):
        x, y = here.point(here.run.length, depth)
        turn = depth if after.house != here.house else 0.0
        path.append((x + turn * after.house[0], y + turn * after.house[1]))
    last = all_bands[-1]
    return [*path, last.point(last.run.length, depth)]


def edge_path(all_bands: tuple[RunFrame, ...]) -> list[Point]:
    last = all_bands[-1]
    return [*(b.origin for b in all_bands), last.point(last.run.length, 0.0)]


def polygon_area(points: tuple[Point, ...]) -> float:
    """Area by the shoelace sum, m2."""
    x, y = np.array(points).T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def in_lid(plan: Plan, point: Point) -> bool:
    """Whether a plan point lies in the lid, its border counted in."""
    for band in plan.bands:
        s, back = band.local(point)
        if band.reach[0] - NEAR <= s <= band.reach[1] + NEAR and -NEAR <= back <= plan.patio.depth + NEAR:
            return True
    return False
