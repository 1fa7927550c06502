"""The lid in plan, and where every nozzle comes through it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from mistcalc.model.project import Joint, ObstacleKind
from mistcalc.model.quantities import Metre, Share
from mistcalc.model.reprs import ShortRepr

Point = tuple[Metre, Metre]


@dataclass(frozen=True, slots=True)
class Mark:
    """One nozzle position. `stub_*` are how far the stub ends below the framing."""

    name: str
    patio: str
    run: str  # its row: the run's name, or that of its second row
    along: Metre  # from the run's datum, at framing
    along_finished: Metre  # from the datum's finished face, once plaster is on
    tube_along: Metre
    back: Metre
    point: Point
    stub_min: Metre
    stub_nominal: Metre
    stub_max: Metre
    why: str  # code: why the mark is where it is ("equal", "regular", "fixed", ...)
    member_clear: Metre | None  # hole edge to the nearest member; None: no members there
    near: str = ""  # what the tape passes next: a member or joint, with its offset in near_offset
    near_offset: Metre = 0.0  # along from that thing's centre to the mark, positive = past it
    locked: bool = False
    drilled: bool = False
    height: Metre = 0.0  # floor to framing there
    level: Metre = 0.0  # from the datum in level measure; `along` follows a slope


@dataclass(frozen=True, slots=True)
class Blocked:
    """A stretch of a run where no mark can be, longer than the widest gap allowed."""

    run: str
    start: Metre  # along
    end: Metre
    by: tuple[str, ...]  # names of what blocks it; "datum" where no tape reads


@dataclass(frozen=True, slots=True)
class RunLine:
    """One row of nozzles drawn out in plan: its run's open edge and its tube, both walked with the house on
    the left."""

    name: str  # of the row: the run's, or that of its second row
    edge: tuple[Point, Point]
    tube: tuple[Point, Point]
    tube_length: Metre
    datum_point: Point  # on the open edge
    datum_at_start: bool
    pitch: Metre | None  # the one pitch of this run, None where gaps differ
    back: Metre  # tube behind the open edge (may have moved off a member)
    rise: Metre = 0.0  # of the lid, from the start of the edge to its end
    second: Metre | None = None  # along to the second datum, where there is one
    of: str = ""  # of a second row: the run it lies on

    def along(self, point: Point) -> Metre:
        """From the datum along the run, where a point lies beside it."""
        (x0, y0), (x1, y1) = self.edge if self.datum_at_start else self.edge[::-1]
        x, y = self.datum_point
        return ((point[0] - x) * (x1 - x0) + (point[1] - y) * (y1 - y0)) / math.dist(*self.edge)


@dataclass(frozen=True, slots=True)
class Member:
    run: str
    line: tuple[Point, Point]  # centre line in plan
    width: Metre
    along: Metre | None  # from the run's datum (members across); None: member along


@dataclass(frozen=True, slots=True)
class JointLine:
    joint: Joint
    run: str
    line: tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class PlacedObstacle:
    """An obstacle in plan: its middle and its outline (closed polygon; a fan's or a round one's has None
    and a radius instead)."""

    name: str
    kind: ObstacleKind
    run: str
    along: Metre
    back: Metre
    point: Point
    outline: tuple[Point, ...]
    radius: Metre | None
    clearance: Metre
    keeps_off: Metre = 0.0  # half the stretch of its run's line on which no hole may or should be for it


@dataclass(frozen=True, slots=True)
class PlacedSeat:
    name: str
    run: str
    point: Point


@dataclass(frozen=True, slots=True)
class PlacedScreen:
    """A screen in plan, walked with the patio on the left as open edges are."""

    name: str
    run: str
    line: tuple[Point, Point]
    height: Metre  # above the floor
    open: Share
    out: Metre = 0.0  # outside its side of the lid


@dataclass(frozen=True, slots=True, repr=False)
class Lid(ShortRepr):
    """The lid in plan, all that a drawing needs.

    `outline` is one line round it. That of a ring goes round the open edge, back to where it began, over to
    the house wall and round that; `loops` are the two without the way over and back.
    """

    outline: tuple[Point, ...]
    walls: tuple[tuple[Point, Point], ...]  # inner face of walls at framing
    open_edges: tuple[tuple[Point, Point], ...]
    runs: tuple[RunLine, ...]  # with their first rows
    members: tuple[Member, ...]
    joints: tuple[JointLine, ...]
    obstacles: tuple[PlacedObstacle, ...]
    seats: tuple[PlacedSeat, ...]
    area: float  # m2
    screens: tuple[PlacedScreen, ...] = ()
    second_rows: tuple[RunLine, ...] = ()

    @property
    def rows(self) -> tuple[RunLine, ...]:
        """All rows of nozzles in the order of `Patio.rows`."""
        behind = {row.of: row for row in self.second_rows}
        return tuple(row for run in self.runs for row in (run, behind.get(run.name)) if row is not None)

    def run_of(self, row: str) -> str:
        """The run that a row lies on, whose members, joints and edge are its own."""
        return next((second.of for second in self.second_rows if second.name == row), row)

    @property
    def loops(self) -> tuple[tuple[Point, ...], ...]:
        again = self.outline.index(self.outline[0], 1) if self.outline.count(self.outline[0]) > 1 else 0
        return (self.outline[:again], self.outline[again + 1 : -1]) if again else (self.outline,)


@dataclass(frozen=True, slots=True)
class Clash:
    """A rule broken by a mark. `hard`: must not be drilled. `shortfall` in metres."""

    rule: Literal["member", "joint", "sweep", "body", "clearance", "spacing", "setback", "bare end"]
    hard: bool
    mark: str
    against: str  # name of obstacle, joint or member
    provided: Metre
    required: Metre


@dataclass(frozen=True, slots=True)
class Fix:
    """The smallest move that ends the clashes with one obstacle, or that makes the whole row equal (there
    may be two such, both needed, and `ends` is empty)."""

    move: str
    toward: Literal["house", "edge", "along+", "along-"]
    by: Metre
    ends: tuple[str, ...]  # names of the marks it clears
    purpose: Literal["clearance", "equal row"] = "clearance"


@dataclass(frozen=True, slots=True)
class HolesVerdict:
    """May the holes of a patio be drilled, and do they miss the wood, as far as anyone said where it is?"""

    stop: tuple[str, ...] = ()  # marks that must not be drilled
    stop_drilled: tuple[str, ...] = ()  # and such as are drilled already
    wood: Literal["missed", "partly", "unstated"] = "unstated"  # known over every mark, over some, over none
    unknown: int = 0  # marks over which nobody said where the wood is
    clear: Metre | None = None  # least, from known wood to the edge of a hole


@dataclass(frozen=True, slots=True, repr=False)
class Layout(ShortRepr):
    patio: str
    marks: tuple[Mark, ...]
    gaps: tuple[tuple[str, tuple[Metre, ...]], ...]  # run -> gaps along the tube
    pattern: Literal["equal", "own", "regular", "jogged", "broken"]
    pitch: Metre  # the pitch tried that held (first run's, where runs differ)
    lid: Lid
    blocked: tuple[Blocked, ...] = ()
    clashes: tuple[Clash, ...] = ()
    fixes: tuple[Fix, ...] = ()
    empty_runs: tuple[str, ...] = ()  # runs that carry no mark
    panels: tuple[tuple[str, float, float], ...] = ()  # plaster panel: name, area m2, length/width
    panel_spans: tuple[tuple[str, Metre, Metre], ...] = ()  # each panel's run, and from where to where along
    too_large: bool = False  # past 10,000 marks: not laid
    holes: HolesVerdict = HolesVerdict()

    def marks_of(self, row: str) -> tuple[Mark, ...]:
        """The marks of a row, in the order the tape meets them."""
        return tuple(sorted((m for m in self.marks if m.run == row), key=lambda mark: mark.along))
