"""Each run in plan: where it lies, which way it heads, and where its tube and its tape begin.

The open edge is walked with the house on the left; the first run heads +x (but for
`Patio.tilt`), so its house is at +y.
At an inside corner (the lid wraps a court) the walk turns right, at an outside corner (the lid wraps the
house) left, at a bend by less than a right angle. Two coordinates serve one run: `sigma`, from the run's
start in the direction walked, and `along`, from the run's datum, which may be either end. All lengths in
metres.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from mistcalc.model.project import Corner, Framing, MarkRules, Patio, Run
from mistcalc.model.results import Point
from mistcalc.model.run_extents import (
    SAME,
    Spreads,
    corners,
    depth_before_wall,
    framed_from_start,
    lid_from_start,
    slants,
    spreads,
    tube_reach,
)
from mistcalc.units import parse

INCH = parse("1 in", "length")
NEAR = SAME
MOST_MEMBERS = 5000  # of one run; more than that is a slab of wood, and drawn as one
FARTHEST_SHIFT = 48  # of the line off a member along it, in tape units


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
    depths: tuple[float, float]  # of the lid at its start and its end: open edge to house wall
    origin: Point
    ahead: Point
    house: Point
    back: float  # tube behind the open edge
    tube: tuple[float, float]  # sigma where the tube starts and ends
    owned: tuple[float, float]  # sigma range this run's members, joints and panels cover
    reach: tuple[float, float]  # sigma range of lid, corner squares counted in
    before: Corner | None = None  # the corner at its start
    slants: Spreads = (0.0, 0.0)  # at its ends, as `run_extents.slants` has them
    edge: RunFrame | None = None  # of a second row: the run as its first row has it

    @property
    def on(self) -> RunFrame:
        """The run with its first row."""
        return self.edge or self

    @property
    def depth(self) -> float:
        """In the middle of the run."""
        start, end = self.depths
        return start if start == end else (start + end) / 2

    @property
    def back_corners(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """(sigma, back) of where its own piece of house wall begins and ends; corner squares left out."""
        (start, end), (before, after) = self.depths, self.slants
        return (-before * start, start), (self.run.length + after * end, end)

    def depth_at(self, sigma: float) -> float:
        """Open edge to house wall, past the ends of a taper that at the end."""
        return depth_before_wall(self.back_corners, sigma)

    def between(self, back: float) -> tuple[float, float]:
        """From where to where there is lid of this run, so far back: a bend's neighbor begins on its line."""
        low, high = self.reach
        (before, after), length = self.slants, self.run.length
        return (-before * back if before else low), (length + after * back if after else high)

    def across(self, sigma: float) -> tuple[float, float]:
        """From how far to how far back there is lid of this run, at `sigma`; none if the second is less."""
        low, high = 0.0, self.depth_at(sigma)
        for slant, past in zip(self.slants, (-sigma, sigma - self.run.length), strict=True):
            if slant > 0 and past > 0:
                low = max(low, past / slant)
            elif slant < 0 and past < 0:
                high = min(high, past / slant)
        return low, high

    def cut(self, sigma: float) -> tuple[Point, Point]:
        """The line across it at `sigma`, in plan: at a bend the line that halves it."""
        ends = zip((0.0, self.run.length), self.slants, self.back_corners, strict=True)
        for end, slant, back_corner in ends:
            if slant and abs(sigma - end) <= NEAR:
                return self.point(end, 0.0), self.point(*back_corner)
        low, high = self.across(sigma)
        return self.point(sigma, low), self.point(sigma, high)

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


def line_back(patio: Patio, n: int, tape: Tape, stated: float) -> float:
    """How far behind the edge a tube of run number `n` lies: as stated, unless a member lies along it.

    Then the least multiple of 1/2 in (10 mm) that clears it, toward the house first, never nearer the
    edge than two units. No such place: as stated, and the marks' rules report it.
    """
    rules, framing, depth = patio.marks, patio.runs[n].framing, min(patio.depths_over(n))
    wood = [(0.0, patio.edge_beam.width)] if patio.edge_beam.width > 0 else []
    if framing.lies == "along":
        half = framing.width / 2
        wood += [(c - half, c + half) for c in centres(framing, 0.0, depth)]
    need = rules.hole / 2 + rules.clear_of_members - NEAR

    def clear(back: float) -> bool:
        return all(back - high >= need or low - back >= need for low, high in wood)

    if clear(stated):
        return stated
    for k in range(1, int(FARTHEST_SHIFT * tape.unit / tape.half) + 1):
        toward_house, toward_edge = stated + k * tape.half, stated - k * tape.half
        if toward_house <= depth and clear(toward_house):
            return toward_house
        if toward_edge >= 2 * tape.unit - NEAR and clear(toward_edge):
            return toward_edge
    return stated


def bands(patio: Patio, tape: Tape) -> tuple[RunFrame, ...]:
    """The runs laid out in plan, in the order walked."""
    backs = [line_back(patio, n, tape, patio.line_behind_edge) for n in range(len(patio.runs))]
    x, y, ahead = 0.0, 0.0, _turned((1.0, 0.0), patio.tilt)
    out: list[RunFrame] = []
    for i, run in enumerate(patio.runs):
        house = (-ahead[1], ahead[0])
        tube = tube_reach(run.length, spreads(patio, i), (backs[i - 1], backs[(i + 1) % len(backs)]))
        reach, owned = lid_from_start(patio, i), framed_from_start(patio, i)
        before, depths = corners(patio, i)[0], patio.depths_over(i)
        lean = slants(patio, i)
        out.append(RunFrame(run, depths, (x, y), ahead, house, backs[i], tube, owned, reach, before, lean))
        x, y = x + run.length * ahead[0], y + run.length * ahead[1]
        ahead = _turned(ahead, run.turn)
    return tuple(out)


def _turned(ahead: Point, turn: float) -> Point:
    """A direction turned left; by a right angle exactly."""
    x, y = ahead
    if abs(turn) == math.pi / 2:
        return (-y, x) if turn > 0 else (y, -x)
    c, s = math.cos(turn), math.sin(turn)
    return (c * x - s * y, s * x + c * y) if turn else ahead


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


def house_path(all_bands: tuple[RunFrame, ...]) -> list[Point]:
    """The house wall: the open edge set back by the lid's depth. Of a ring it ends where it begins."""
    first, last = all_bands[0], all_bands[-1]
    path = []
    for here, after in itertools.pairwise((*all_bands, first) if last.run.corner else all_bands):
        x, y = here.point(*here.back_corners[1])
        square = here.run.corner in ("inside", "outside")
        turn = after.depths[0] if square else 0.0
        path.append((x + turn * after.house[0], y + turn * after.house[1]))
        if here.run.corner == "straight" and after.depths[0] != here.depths[1]:
            path.append(after.point(0.0, after.depths[0]))
    if last.run.corner:
        return [path[-1], *path]
    return [first.point(0.0, first.depths[0]), *path, last.point(last.run.length, last.depths[1])]


def edge_path(all_bands: tuple[RunFrame, ...]) -> list[Point]:
    """The open edge. Of a ring it ends where it begins, whatever the tape was out."""
    first, last = all_bands[0], all_bands[-1]
    end = first.origin if last.run.corner else last.point(last.run.length, 0.0)
    return [*(b.origin for b in all_bands), end]
