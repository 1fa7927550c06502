"""The patio ceiling as stated: runs, framing, plaster, obstacles, and the house and screens round it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Literal

from mistcalc.model.content_digest import ADDED
from mistcalc.model.quantities import Metre, MetrePerSecond, Radian, Share
from mistcalc.model.reprs import ShortRepr

End = Literal["start", "end"]
# Between two runs: a right angle, a bend of `Run.bend`, or straight on. Inside: the walk turns away from the
# house, as round a court; outside: toward it, as round the house.
Corner = Literal["inside", "outside", "inside bend", "outside bend", "straight"]
QUARTER = math.pi / 2


@dataclass(frozen=True, slots=True)
class EdgeBeam:
    width: Metre
    drop: Metre  # how far it hangs below the lid


@dataclass(frozen=True, slots=True)
class Plaster:
    system: Literal["three-coat", "one-coat", "direct", "wood", "none"]
    thickness: Metre  # framing to finished face, furring counted in
    sheathing: Metre
    trim: Metre  # how far the stub stands past the finished face
    tolerance: Metre
    # stated: control joints are those of the runs; propose: added where a panel would break its limits
    joints: Literal["stated", "propose"] = field(default="stated", metadata=ADDED)

    @property
    def plastered(self) -> bool:
        """Whether coats of plaster go on: boards of wood are a finish too, but wait for nothing."""
        return self.system not in ("wood", "none")

    @property
    def covered(self) -> bool:
        """Whether anything hides tube and supports: a pergola's open framing does not."""
        return self.system != "none"


@dataclass(frozen=True, slots=True)
class MarkRules:
    pitch: Metre
    closest: Metre
    widest: Metre
    from_wall: Metre
    hole: Metre
    clear_of_members: Metre  # hole edge to wood, hard
    clear_of_joints: Metre  # hole centre to control joint, hard
    grid: Metre  # what a tape is read to: 1/8 in or 5 mm


USUAL_SURFACES = (
    "face of wall framing", "face of framing at the open end", "face of framing at the corner",
    "face of framing where the runs meet",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Datum:
    """The end of a run that the tape is hooked on, and the surface there at rough-in."""

    end: End
    surface: str
    second: str = field(default="", metadata=ADDED)  # what stands at the far end, to check a long tape from


@dataclass(frozen=True, slots=True)
class Framing:
    """Members in or above the lid over one run.

    `lies` across: centres are measured along the run from its datum. `lies` along: centres are
    measured back from the open edge. Either regular (`spacing`, `first`) or as framed (`centres`).
    """

    lies: Literal["across", "along"]
    width: Metre
    depth: Metre
    spacing: Metre | None = None
    first: Metre | None = None
    centres: tuple[Metre, ...] = ()
    covers_corner: bool = False  # this run's members also cross the corner square after it

    @property
    def as_framed(self) -> bool:
        return bool(self.centres)


@dataclass(frozen=True, slots=True)
class Joint:
    """A control joint across the run, where the plan puts it (from the run's datum)."""

    name: str
    along: Metre
    on: Literal["member", "blocking"] = "member"


@dataclass(frozen=True, slots=True)
class FixedMark:
    name: str
    along: Metre
    drilled: bool = False


@dataclass(frozen=True, slots=True)
class SecondRow:
    """A second line of nozzles on a run, farther back under the lid. Where a run is called for its marks and
    its tube, its second row is called by a name of its own."""

    back: Metre  # of its tube behind the open edge
    name: str
    fixed: tuple[FixedMark, ...] = ()


@dataclass(frozen=True, slots=True, repr=False)
class Run(ShortRepr):
    """One straight piece of open edge, walked with the house on the left.

    `length` is of the open edge at framing. `starts_at` and `ends_at` say what stands at each end;
    "corner" where the run meets its neighbour. `along` of everything on the run is from its datum.
    The last run of a ring has a corner too: the first run is round it.
    """

    name: str
    length: Metre
    starts_at: Literal["wall", "open", "corner"]
    ends_at: Literal["wall", "open", "corner"]
    corner: Corner | None  # after this run; on the last None, but in a ring
    datum: Datum
    framing: Framing
    joints: tuple[Joint, ...] = ()
    fixed: tuple[FixedMark, ...] = ()
    depth: Metre | None = field(default=None, metadata=ADDED)  # of the lid over it; None: as the patio's
    depth_at_end: Metre | None = field(default=None, metadata=ADDED)  # where it tapers; `depth` at its start
    bend: Radian = field(default=0.0, metadata=ADDED)  # how far the edge turns after it, where it bends
    rise: Metre = field(default=0.0, metadata=ADDED)  # of the framing, from the run's start to its end
    second_row: SecondRow | None = field(default=None, metadata=ADDED)

    @property
    def bends(self) -> bool:
        """Whether it meets the next run at less than a right angle."""
        return self.corner in ("inside bend", "outside bend")

    @property
    def turn(self) -> Radian:
        """How far the walk turns left after it, toward the house."""
        size = self.bend if self.bends else QUARTER
        return {"outside": size, "inside": -size}.get((self.corner or "").split(" ")[0], 0.0)

    @property
    def rows(self) -> tuple[Run, ...]:
        """Its rows of nozzles, each as a run of its own name and fixed marks: the first is the run itself."""
        row = self.second_row
        return (self, replace(self, name=row.name, fixed=row.fixed, second_row=None)) if row else (self,)

    @property
    def hooked_on(self) -> str:
        """The surface its tape is hooked on and, where a usual one stands at both its ends, at which end.

        Walked with the house on the left, a run starts at the left of whoever faces in."""
        surface = self.datum.surface
        if self.starts_at != self.ends_at or surface not in USUAL_SURFACES:
            return surface
        return f"{surface}, {'left' if self.datum.end == 'start' else 'right'}"


ObstacleKind = Literal[
    "light", "fan", "heater", "speaker", "screen", "door glass",
    "column", "beam", "outlooker", "pocket", "vent", "outlet", "grill", "other",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something in or under the lid, placed by `along` (from the run's datum) and `back` (from the open
    edge toward the house) of its middle. `size` is (along, back); a fan's is its sweep, twice.
    `clearance` is in plan from a hole's centre: to a light's middle, else to the edge or the sweep."""

    name: str
    kind: ObstacleKind
    run: str
    along: Metre
    back: Metre
    size: tuple[Metre, Metre]
    clearance: Metre
    air_speed: MetrePerSecond | None = None  # fans: on someone seated below, running


@dataclass(frozen=True, slots=True)
class Seat:
    name: str
    run: str
    along: Metre
    back: Metre


@dataclass(frozen=True, slots=True)
class House:
    """How far the house goes on past the lid, for the wind. Where the back of the lid is open it stands only
    beside the ends that are walls; what has no meaning there is None."""

    above_lid: Metre | None = 0.0  # roof or parapet above the underside of the lid
    past_start: Metre | None = 3.0  # past the lid's first end
    past_end: Metre | None = 3.0  # past its last
    depth: Metre | None = 9.0  # behind the back of the lid


@dataclass(frozen=True, slots=True)
class Screen:
    """A wall, screen, fence or hedge that stands free at an open side of the lid. `start` and `end` are along
    the run from its datum, in either order; None: all of the side, as always at an end of the lid."""

    name: str
    run: str
    height: Metre  # above the floor
    side: Literal["edge", "back", "start", "end"] = "edge"
    start: Metre | None = None
    end: Metre | None = None
    out: Metre = 0.0  # outside that side
    open: Share = 0.0  # of its area, that lets air through


@dataclass(frozen=True, slots=True, repr=False)
class Patio(ShortRepr):
    name: str
    height: Metre  # floor to underside of framing, where the first run starts
    depth: Metre  # open edge to house wall
    line_behind_edge: Metre
    edge_beam: EdgeBeam
    plaster: Plaster
    marks: MarkRules
    runs: tuple[Run, ...]
    obstacles: tuple[Obstacle, ...] = ()
    seats: tuple[Seat, ...] = ()
    back: Literal["wall", "open"] = "wall"  # what stands behind the lid
    house: House = field(default_factory=House)
    screens: tuple[Screen, ...] = ()
    turned: Radian = field(default=0.0, metadata=ADDED)  # heading of the first run over `Place.bearing`

    @property
    def tilt(self) -> Radian:
        """How far its first run turns left from +x in the plan: so far that with bends its edges on the whole
        lie along x and y; 0 without."""
        heading, x, y = 0.0, 0.0, 0.0
        for run in self.runs if any(run.bends for run in self.runs) else ():
            x, y = x + run.length * math.cos(4 * heading), y + run.length * math.sin(4 * heading)
            heading += run.turn
        return -math.atan2(y, x) / 4 + 0.0

    @property
    def axis(self) -> Radian:
        """Heading of +x in its plan over `Place.bearing`."""
        return self.turned + self.tilt

    @property
    def is_ring(self) -> bool:
        """Whether the last run meets the first: the open edge has no ends."""
        return bool(self.runs) and self.runs[-1].corner is not None

    @property
    def rows(self) -> tuple[Run, ...]:
        """All rows of nozzles, each as a run (`Run.rows`), in the order walked."""
        return tuple(row for run in self.runs for row in run.rows)

    def number_of(self, row: str) -> int:
        """The number of the run that a row lies on."""
        return next(n for n, run in enumerate(self.runs) if row in [each.name for each in run.rows])

    def depths_over(self, n: int) -> tuple[Metre, Metre]:
        """Open edge to house wall at the start and at the end of run number `n`, -1 the last; square to the
        edge, at a bend from the edge gone on straight."""
        run = self.runs[n % len(self.runs)]
        start = self.depth if run.depth is None else run.depth
        return start, start if run.depth_at_end is None else run.depth_at_end

    def depth_over(self, n: int) -> Metre:
        """The same in the middle of the run."""
        start, end = self.depths_over(n)
        return start if start == end else (start + end) / 2
