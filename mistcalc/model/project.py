"""What people state: one Project, as the reader makes it from a project file.

Every value is SI (metre, kelvin, pascal, m3/s, radian); the annotation of a field is its unit.
Water pressures are gauge. The reader has already put in defaults (and listed their key paths in
`Project.assumed`) and catalogue values, so rooms never look anything up. Frozen and made of tuples:
two equal projects hash alike, which is what makes every stage cacheable.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Annotated, Literal

from mistcalc.model.fault_priors import DiagnosisAssumptions
from mistcalc.model.quantities import (
    CubicMetrePerSecond,
    Kelvin,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    Pascal,
    Radian,
    Share,
    Volt,
    Watt,
)
from mistcalc.model.reprs import ShortRepr

End = Literal["start", "end"]
COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


@dataclass(frozen=True, slots=True)
class Revision:
    letter: str = "A"
    date: datetime.date | None = None  # printed; the clock is never read
    status: str = "for rough-in"


@dataclass(frozen=True, slots=True)
class TypedAfternoon:
    """An afternoon typed in by hand instead of a climate file. Its wind is told at one of two places."""

    name: Literal["hot", "typical", "humid"]
    dry_bulb: Kelvin
    relative_humidity: Share
    wind: MetrePerSecond | None = None  # at a 10 m mast over open ground, as a forecast tells it
    wind_on_patio: MetrePerSecond | None = None  # at seat height in the yard, clear of the house's lee
    wind_from: str | None = None  # where it comes from, one of COMPASS; None: nobody said


@dataclass(frozen=True, slots=True)
class Place:
    elevation: Metre
    climate: str | None  # a shipped sample's name, or a file beside the project file
    surroundings: Literal["open", "suburb", "city"] = "suburb"
    shelter: Share = 0.5  # share of the wind at patio height that neighbors and plants leave
    daylight_saving: Literal["us", "eu", "none"] = "us"
    north: str = ""  # words for the plan
    bearing: Radian = 0.0  # heading of the first run, walked from its start, clockwise from north
    afternoons: tuple[TypedAfternoon, ...] = ()


@dataclass(frozen=True, slots=True)
class EdgeBeam:
    width: Metre
    drop: Metre  # how far it hangs below the lid


@dataclass(frozen=True, slots=True)
class Plaster:
    system: Literal["three-coat", "one-coat", "direct", "none"]
    thickness: Metre  # framing to finished face, furring counted in
    sheathing: Metre
    trim: Metre  # how far the stub stands past the finished face
    tolerance: Metre


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


@dataclass(frozen=True, slots=True)
class Datum:
    """The end of a run that the tape is hooked on, and the surface there at rough-in."""

    end: End
    surface: str


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


@dataclass(frozen=True, slots=True, repr=False)
class Run(ShortRepr):
    """One straight piece of open edge, walked with the house on the left.

    `length` is of the open edge at framing. `starts_at` and `ends_at` say what stands at each end;
    "corner" where the run meets its neighbour. `along` of everything on the run is from its datum.
    """

    name: str
    length: Metre
    starts_at: Literal["wall", "open", "corner"]
    ends_at: Literal["wall", "open", "corner"]
    corner: Literal["inside", "outside"] | None  # the corner after this run, None on the last
    datum: Datum
    framing: Framing
    joints: tuple[Joint, ...] = ()
    fixed: tuple[FixedMark, ...] = ()


ObstacleKind = Literal[
    "light",
    "fan",
    "heater",
    "speaker",
    "screen",
    "door glass",
    "column",
    "beam",
    "vent",
    "outlet",
    "grill",
    "other",
]


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
    height: Metre  # floor to underside of framing
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


@dataclass(frozen=True, slots=True)
class Nozzle:
    label: str
    flow: CubicMetrePerSecond  # at `at`
    at: Pascal
    exponent: float
    drop_median: Metre | None  # Dv50 at `at`; with no `drop_sauter` either, from flow and pressure
    drop_spread: float  # Rosin-Rammler
    opens_at: Pascal | None = None  # anti-drip check
    drop_sauter: Metre | None = None  # Sauter mean at `at`, where that is what the maker prints


@dataclass(frozen=True, slots=True)
class Tube:
    material: str
    outside: Metre
    wall: Metre
    stick: Metre
    kerf: Metre
    joints: str
    temper: str | None = None
    rated: Pascal | None = None  # working pressure its maker prints, cold
    joints_rated: Pascal | None = None  # working pressure the joints' maker prints, as hot as the tube gets

    @property
    def bore(self) -> Metre:
        return self.outside - 2 * self.wall


@dataclass(frozen=True, slots=True)
class Tap:
    """A place along a run. `said`, as the project file has it, is its name everywhere ("A at 12 ft")."""

    run: str
    along: Metre  # from the run's datum, at framing
    said: str

    def __str__(self) -> str:
        return self.said


Spot = str | Tap  # "pump", "water point", "<run> start", "<run> end", a name of its own, or along a run


@dataclass(frozen=True, slots=True)
class Piece:
    """Tube beside the runs, between two spots. Everything left None is the line's."""

    start: Spot
    end: Spot
    length: Metre
    rise: Metre | None = None  # None: level, or what closes a ring
    fittings: tuple[tuple[str, int], ...] = ()
    tube: Tube | None = None
    temperature: Kelvin | None = None  # of the water in it while the line runs
    check_opens_at: Pascal = 0.0  # a check valve lets water from start to end alone, past this pressure

    @property
    def name(self) -> str:
        """What it is called everywhere: its two ends. Pieces beside each other share a name."""
        return f"{self.start} to {self.end}"

    @property
    def one_way(self) -> bool:
        return any(kind == "check valve" and count > 0 for kind, count in self.fittings)


@dataclass(frozen=True, slots=True)
class RunPlumbing:
    """What is other on one run than on the line."""

    name: str  # the run's
    nozzle: Nozzle | None = None
    tube: Tube | None = None
    temperature: Kelvin | None = None  # of the water in it while the line runs


@dataclass(frozen=True, slots=True)
class MarkPlumbing:
    """A nozzle of its own at one fixed mark."""

    name: str  # the mark's
    nozzle: Nozzle


@dataclass(frozen=True, slots=True)
class Zone:
    """Runs that open and close together. `valves` names the pieces its valve stands in, where the project
    says so: one, or one in each of its feeds, opened by the same switch."""

    name: str
    runs: tuple[str, ...]
    valves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Drain:
    at: Spot
    slope: float  # fall over length
    test_port: bool


@dataclass(frozen=True, slots=True)
class Nameplate:
    flow: CubicMetrePerSecond
    pressure: Pascal
    motor: Watt  # shaft
    volts: Volt
    relief: Pascal | None = None


@dataclass(frozen=True, slots=True)
class Pump:
    set_pressure: Pascal
    place: str = ""
    nameplate: Nameplate | None = None
    motors: Literal["NEMA", "IEC"] = "NEMA"  # whose sizes of motors and breakers are sold here
    volts: Volt | None = None  # of the single-phase supply at the pump; None: the usual one for the motor


@dataclass(frozen=True, slots=True)
class Tank:
    """A tank that the water falls into, without pressure, and the pump that lifts it out again."""

    lift: Pascal  # held behind that pump
    at_flow: CubicMetrePerSecond  # while so much runs


@dataclass(frozen=True, slots=True)
class Water:
    point: str
    static: Pascal
    residual: Pascal
    at_flow: CubicMetrePerSecond
    temperature: Kelvin
    filter: Metre | None = None
    hardness: KilogramPerCubicMetre | None = None  # as CaCO3
    calcium: KilogramPerCubicMetre | None = None  # as CaCO3
    alkalinity: KilogramPerCubicMetre | None = None  # as CaCO3
    solids: KilogramPerCubicMetre | None = None
    ph: float | None = None
    treatment: Literal["none", "softener", "scale inhibitor", "reverse osmosis"] = "none"
    tank: Tank | None = None

    @property
    def pressure_known(self) -> bool:
        """Reverse osmosis lets its water go without pressure: what comes after it must be said."""
        return self.treatment != "reverse osmosis" or self.tank is not None


@dataclass(frozen=True, slots=True, repr=False)
class Plumbing(ShortRepr):
    """All that carries water. `pump` None: a line on the mains. `together`: sets of zones that may run at the
    same time; any zone may run alone."""

    tube_temperature: Kelvin
    nozzle: Nozzle
    tube: Tube
    pieces: tuple[Piece, ...]
    zones: tuple[Zone, ...]
    water: Water
    pump: Pump | None = None
    drains: tuple[Drain, ...] = ()
    together: tuple[tuple[str, ...], ...] = ()
    runs: tuple[RunPlumbing, ...] = ()
    marks: tuple[MarkPlumbing, ...] = ()
    tube_temperature_reason: str = ""  # why it stays cooler than a hot afternoon in the sun

    def on_run(self, run: str) -> RunPlumbing:
        """What is stated for one run; nothing of its own where the file is silent."""
        return next((stated for stated in self.runs if stated.name == run), RunPlumbing(run))

    def nozzle_at(self, run: str, mark: str) -> Nozzle:
        """The nozzle at a mark: its own, else its run's, else the line's."""
        alone = next((own.nozzle for own in self.marks if own.name == mark), None)
        return alone or self.on_run(run).nozzle or self.nozzle

    @property
    def working(self) -> Pascal:
        """What the line is worked at: its pump's pressure, else what it has at rest where it begins."""
        if self.pump is not None:
            return self.pump.set_pressure
        return self.water.static if self.water.tank is None else self.water.tank.lift

    @property
    def inlet(self) -> tuple[Piece, ...]:
        """Tube between the water point and the pump: it lowers the pump's inlet, not the line."""
        if self.pump is None:
            return ()
        reached, found, grown = {"water point"}, [], True
        while grown:
            grown = False
            for piece in self.pieces:
                if piece not in found and {str(piece.start), str(piece.end)} & reached:
                    found.append(piece)
                    reached |= {str(piece.start), str(piece.end)} - {"pump"}
                    grown = True
        return tuple(found)

    @property
    def tubes(self) -> tuple[Tube, ...]:
        """Every kind of tube stated, each once, the line's first."""
        own = [piece.tube for piece in self.pieces] + [run.tube for run in self.runs]
        return tuple(dict.fromkeys((self.tube, *(tube for tube in own if tube is not None))))


@dataclass(frozen=True, slots=True)
class Control:
    on_above: Kelvin
    off_below: Kelvin
    humidity_stop: Share
    wind_stop: MetrePerSecond
    hours: tuple[float, float]  # hours of the day by the clock on the wall
    months: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Prices:
    currency: str = "USD"
    water: Annotated[float, "currency/m3"] | None = None
    electricity: Annotated[float, "currency/J"] | None = None
    tube: Annotated[float, "currency/m"] | None = None
    nozzle: Annotated[float, "currency each"] | None = None


@dataclass(frozen=True, slots=True)
class Dates:
    scratch_coat: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class Paper:
    sheet: Literal["11x17", "letter", "A3", "A4"] = "11x17"


@dataclass(frozen=True, slots=True)
class HouseNames:
    """What the house calls its runs and its fixed marks: no other mark may be called so."""

    runs: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()


ALONE = HouseNames()


@dataclass(frozen=True, slots=True, repr=False)
class Project(ShortRepr):
    format: int
    name: str
    about: str
    units: Literal["us", "metric"]
    language: str
    revision: Revision
    place: Place
    patios: tuple[Patio, ...]
    plumbing: Plumbing
    control: Control
    prices: Prices = field(default_factory=Prices)
    dates: Dates = field(default_factory=Dates)
    paper: Paper = field(default_factory=Paper)
    call_back: DiagnosisAssumptions = field(default_factory=DiagnosisAssumptions)
    assumed: tuple[str, ...] = ()  # key paths the file did not state, e.g. "line.tube.kerf"

    @property
    def house_names(self) -> HouseNames:
        runs = [run for patio in self.patios for run in patio.runs]
        return HouseNames(tuple(r.name for r in runs), tuple(m.name for r in runs for m in r.fixed))
