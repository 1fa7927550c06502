"""What we derive: the nouns rooms hand on. SI and kelvin; water pressure is gauge, air pressure absolute.

Nouns of one case hold tuples and compare exactly. Weather, Air and Cooling hold arrays and
compare by `key`, a digest of what made them.

Plan coordinates: x along the first run's open edge from its start, y toward the house, metres; (0, 0)
is the first run's start on the open edge. Distances `along` are from the run's datum; `tube_along` is
from the run's tube start, in the direction the open edge is walked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from mistcalc.model.project import (
    CubicMetrePerSecond,
    Joint,
    Kelvin,
    Metre,
    ObstacleKind,
    Pascal,
    Project,
    Share,
    Watt,
)

Point = tuple[Metre, Metre]
Level = Literal["note", "warn", "fail"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One judgement with the numbers behind it. No sentence: `words` makes it at the door.

    `where` is a path such as "court/L2". `provided` and `required` are in `unit` (SI).
    `values` and `fix` hold what the sentence needs, as (name, value) pairs of plain values.
    """

    code: str
    level: Level
    where: str
    quantity: str = ""
    provided: float | None = None
    required: float | None = None
    unit: str = ""
    source: str = ""
    values: tuple[tuple[str, object], ...] = ()
    fix: tuple[tuple[str, object], ...] = ()

    def value(self, name: str, default: object = None) -> object:
        return dict(self.values).get(name, default)


# ------------------------------------------------------------------ site


@dataclass(frozen=True, eq=False)
class Weather:
    """A weather station's year. All arrays have one value an hour, shape (hours,).

    `time_standard` is the hour of a 365-day year at which the hour ENDS, standard time: 1.0 is the hour
    from 00:00 to 01:00 on 1 January. Wind is at the station mast, about 10 m.
    """

    station: str
    source: str
    latitude: float  # degrees
    longitude: float  # degrees
    elevation: Metre
    utc_offset: float  # hours
    time_standard: np.ndarray
    temperature: np.ndarray  # K
    ratio: np.ndarray  # kg/kg
    air_pressure: np.ndarray  # Pa absolute
    wind: np.ndarray  # m/s
    direction: np.ndarray | None  # rad clockwise from north, wind from; None where the file has none
    ghi: np.ndarray | None  # W/m2, sunlight: on level ground, from the sun's disc, from the rest of the sky
    dni: np.ndarray | None
    dhi: np.ndarray | None
    notes: tuple[Finding, ...]
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Weather) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)


@dataclass(frozen=True, eq=False)
class Air:
    """Outdoor air at the patio for the hours asked, shape (hours,); one afternoon has one hour.

    `wind` is at patio height, after surroundings and shelter; `mast_wind` as at the station.
    """

    name: str  # hot | typical | humid | year
    source: str
    temperature: np.ndarray  # K
    ratio: np.ndarray  # kg/kg
    air_pressure: np.ndarray  # Pa absolute
    wind: np.ndarray  # m/s
    mast_wind: np.ndarray  # m/s
    direction: np.ndarray | None  # rad, None where typed in
    relative_humidity: np.ndarray  # 0..1
    wet_bulb: np.ndarray  # K
    dew_point: np.ndarray  # K
    hours_used: int  # hours of the file behind an afternoon; 0 where typed in
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Air) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)


# ------------------------------------------------------------------ layout


@dataclass(frozen=True, slots=True)
class Mark:
    """One nozzle position. `stub_*` are how far the stub ends below the framing."""

    name: str
    patio: str
    run: str
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


@dataclass(frozen=True, slots=True)
class Blocked:
    """A stretch of a run where no mark can be, longer than the widest gap allowed."""

    run: str
    start: Metre  # along
    end: Metre
    by: tuple[str, ...]  # names of what blocks it


@dataclass(frozen=True, slots=True)
class RunLine:
    """One run drawn out in plan: its open edge and its tube, both walked with the house on the left."""

    name: str
    edge: tuple[Point, Point]
    tube: tuple[Point, Point]
    tube_length: Metre
    datum_point: Point  # on the open edge
    datum_at_start: bool
    pitch: Metre | None  # the one pitch of this run, None where gaps differ
    back: Metre  # tube behind the open edge (may have moved off a member)


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
class Placed:
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


@dataclass(frozen=True, slots=True)
class PlacedSeat:
    name: str
    run: str
    point: Point


@dataclass(frozen=True, slots=True)
class Lid:
    """The lid in plan, all that a drawing needs."""

    outline: tuple[Point, ...]
    walls: tuple[tuple[Point, Point], ...]  # inner face of walls at framing
    open_edges: tuple[tuple[Point, Point], ...]
    runs: tuple[RunLine, ...]
    members: tuple[Member, ...]
    joints: tuple[JointLine, ...]
    obstacles: tuple[Placed, ...]
    seats: tuple[PlacedSeat, ...]
    area: float  # m2


@dataclass(frozen=True, slots=True)
class Clash:
    """A rule broken by a mark. `hard`: must not be drilled. `shortfall` in metres."""

    rule: Literal["member", "joint", "sweep", "body", "clearance", "spacing", "setback"]
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
class Layout:
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
    too_large: bool = False  # past 10,000 marks: not laid


# ------------------------------------------------------------------ line


@dataclass(frozen=True, slots=True)
class MarkFlow:
    name: str
    patio: str
    flow: CubicMetrePerSecond
    pressure_gauge: Pascal
    state: Literal["open", "part open", "shut"]
    zone: str = ""  # open while this flow runs; zones run one at a time


@dataclass(frozen=True, slots=True)
class LineNode:
    name: str
    elevation: Metre  # above the pump or water point
    point: Point | None
    pressure_gauge: Pascal


@dataclass(frozen=True, slots=True)
class LineTube:
    start: str  # node names
    end: str
    length: Metre
    bore: Metre
    roughness: Metre
    flow: CubicMetrePerSecond
    speed: float  # m/s
    loss: Pascal
    minor_k: float
    run: str = ""  # "" for feed pieces


@dataclass(frozen=True, slots=True)
class ZoneFlow:
    name: str
    flow: CubicMetrePerSecond
    far_mark: str
    far_gauge: Pascal
    marks: int


@dataclass(frozen=True, slots=True)
class WaterState:
    """Water as the network was solved with, for whoever checks it elsewhere."""

    temperature: Kelvin
    density: float  # kg/m3
    viscosity: float  # Pa s


@dataclass(frozen=True, slots=True)
class Duty:
    """What the pump set must do. `pick_*` None for a line on the mains."""

    required_flow: CubicMetrePerSecond  # all nozzles of the largest zone at set pressure
    largest_zone: str
    smallest_zone: str
    smallest_flow: CubicMetrePerSecond
    pick_flow: CubicMetrePerSecond | None  # generic ladder
    pick_motor: Watt | None
    pick_volts: float | None
    used_share: Share | None  # required over the pick's (or the nameplate's) flow
    smallest_share: Share | None
    shaft_power: Watt | None
    electric_power: Watt | None
    full_load_amps: float | None
    circuit_amps: float | None  # 125 % of full load
    inlet_gauge: Pascal  # at the pump (mains: at the line's start) while running
    from_nameplate: bool
    tube_rating: Pascal
    tube_rating_temperature: Kelvin
    christiansen_loss: Pascal  # hand check of the longest run, beside the solver's
    solver_loss: Pascal
    fill_volume: float  # m3


@dataclass(frozen=True, slots=True)
class Line:
    """The solved line. Zones run one at a time: each mark's flow and pressure are those of its own zone,
    nodes, tubes and total flow those of the largest zone (`duty.largest_zone`; with one zone, the whole
    line). Holds everything an `.inp` writer prints; writers do not compute."""

    nodes: tuple[LineNode, ...]
    tubes: tuple[LineTube, ...]
    marks: tuple[MarkFlow, ...]
    zones: tuple[ZoneFlow, ...]
    supply_node: str
    supply: tuple[tuple[CubicMetrePerSecond, Pascal], ...]  # falling curve, straight between points
    supply_gauge: Pascal
    total_flow: CubicMetrePerSecond
    far_mark: str
    far_gauge: Pascal
    flow_spread: Share  # 1 - qmin/qmax
    uniformity_cu: Share
    uniformity_du: Share
    nozzle_coefficient: float  # q = coefficient * P ** exponent, SI
    nozzle_exponent: float
    opens_at: Pascal | None
    water: WaterState
    friction_law: str
    duty: Duty
    residual: Pascal
    flow_residual: CubicMetrePerSecond
    worst_node: str
    iterations: int


# ------------------------------------------------------------------ cooling


@dataclass(frozen=True, slots=True)
class Driver:
    """One unknown and the share of the band it makes (shares sum to 1)."""

    name: str
    share: Share


PLACES = ("near_line", "seats", "far_edge")
FEEL_COLUMNS = ("shade", "fan", "mist", "both")
FeelIndex = Literal["effective", "utci", "heat_index"]


@dataclass(frozen=True, eq=False)
class Feel:
    """What people at the seats feel, mean of the seats, in the same shade: FEEL_COLUMNS -> K [draw, hour].

    An index is empty where an hour of it lies outside its range. Mist leaves `radiant` alone.
    """

    effective: dict[str, np.ndarray]  # standard effective temperature (SET), seated, light summer clothes
    utci: dict[str, np.ndarray]
    heat_index: dict[str, np.ndarray]
    radiant: np.ndarray | None  # mean radiant temperature K [draw, hour]; None as an index is empty
    fan_speed: float  # m/s on the seats, mean
    fan_supposed: float | None  # m/s on the seats no fan of the plan reaches; None where fans reach them all

    def band(
        self, column: str, shares: tuple[float, ...] = (0.1, 0.5, 0.9), index: FeelIndex = "effective"
    ) -> tuple[float, ...] | None:
        """What is felt (K) below which these shares of the draws lie, over the first hour; None: none."""
        found: dict[str, np.ndarray] = getattr(self, index)
        return tuple(float(v) for v in np.quantile(found[column][:, 0], shares)) if found else None


@dataclass(frozen=True, eq=False)
class Cooling:
    """The patio's air on one afternoon, as a range. Arrays are [draw, hour] unless said.

    `drop[place]`: dry bulb in the same shade with the mist off, less dry bulb with it on, same draw.
    """

    patio: str
    afternoon: str
    baseline: np.ndarray  # K, mist off
    depression: float  # K, median wet-bulb depression of the outdoor air
    drop: dict[str, np.ndarray]  # place -> K
    ratio: dict[str, np.ndarray]  # place -> kg/kg
    relative_humidity: dict[str, np.ndarray]  # place -> 0..1
    evaporated: np.ndarray  # share of the water, inside or out
    floor_share: np.ndarray  # share of the water that lands on the floor inside
    carried_out: np.ndarray  # share of the water leaving as liquid
    water_flow: float  # kg/s, all nozzles of the patio
    drivers: tuple[Driver, ...]
    residual: float  # largest residual of the balance's fixed point, share of injected water
    key: str
    feel: Feel | None = None

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Cooling) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)

    def band(self, place: str, shares: tuple[float, ...] = (0.1, 0.5, 0.9)) -> tuple[float, ...]:
        """Drop at `place` (K) below which these shares of the draws lie, over the first hour."""
        return tuple(float(v) for v in np.quantile(self.drop[place][:, 0], shares))


@dataclass(frozen=True, eq=False)
class Picture:
    """The patio in plan in one hour of one afternoon, from the middle of every unknown's band.

    Maps are [y, x] over the centres `x`, `y` of cells that fill the lid's bounding box, those at a height
    [height, y, x]; cells outside the lid hold 0 and are False in `inside`. Water on a surface: kg/(m2 s), of
    which 1 g/m2h is 2.78e-7.
    """

    patio: str
    afternoon: str
    x: np.ndarray  # m
    y: np.ndarray  # m
    inside: np.ndarray  # bool
    heights: tuple[Metre, ...]  # of the maps above the floor
    baseline: Kelvin  # dry bulb in the same shade, mist off
    drop: np.ndarray  # [height, y, x] K, of dry bulb
    depression: np.ndarray  # [height, y, x] K, wet-bulb depression of the air there
    face_water: np.ndarray  # [height, y, x] liquid that falls on an upturned surface
    floor_water: np.ndarray  # liquid that reaches the floor
    scale_water: np.ndarray  # water whose minerals the floor gets: the landed drops as first sprayed
    film_rate: float  # kg/(m2 s), what a wet floor in the shade gives to the patio's air
    seats: tuple[Point, ...]
    seat_drop: np.ndarray  # [height, seat] K
    mean_drop: tuple[Kelvin, ...]  # height -> mean of the map
    patio_drop: Kelvin  # of the patio's well-mixed air in the balance: the background of the map
    landed: Share  # of the water: falls on the floor under the lid as liquid; what the map holds
    landed_beyond: Share  # of the water: reaches the ground as liquid, but past an open side
    wind: float  # m/s under the lid
    toward: float  # rad in plan, where the wind goes
    wind_known: bool  # False: no direction was given, and `toward` is one of all possible
    water_flow: float  # kg/s, all nozzles
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Picture) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)

    @property
    def cell(self) -> tuple[Metre, Metre]:
        """Size of a cell along x and y."""
        return float(self.x[1] - self.x[0]), float(self.y[1] - self.y[0])

    def over(self, rate: np.ndarray) -> float:
        """A map per area summed over the lid."""
        return float(rate[..., self.inside].sum() * self.cell[0] * self.cell[1])


@dataclass(frozen=True, eq=False)
class Wetness:
    """Judged from one Picture, whose `key` it bears; classes 0, 1, 2, and 0 outside the lid."""

    floor: np.ndarray  # [y, x] dry, damp, wet
    drying: np.ndarray  # [y, x] s from the mist's end until the floor is dry; inf: not in this air
    face: np.ndarray  # [height, y, x] dry, dewy, wet
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Wetness) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)


@dataclass(frozen=True, slots=True)
class StateCard:
    """A second opinion on one afternoon's air by an independent library, beside our own numbers."""

    afternoon: str
    wet_bulb: Kelvin
    other_wet_bulb: Kelvin
    other_library: str


@dataclass(frozen=True, slots=True)
class Part:
    """One row of the materials list."""

    name: str  # key into words
    quantity: float
    unit: str  # "" for pieces, else SI
    detail: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True)
class Design:
    """The whole job: what was stated and all that follows from it."""

    project: Project
    weather_notes: tuple[Finding, ...]
    air_source: str
    afternoons: tuple[Air, ...]
    layouts: tuple[Layout, ...]
    line: Line
    cooling: tuple[Cooling, ...]  # patios x afternoons
    parts: tuple[Part, ...]
    cards: tuple[StateCard, ...]
    findings: tuple[Finding, ...]
    code: str  # short content code: stale paper shows

    def layout_of(self, patio: str) -> Layout:
        return next(layout for layout in self.layouts if layout.patio == patio)

    def cooling_of(self, patio: str, afternoon: str) -> Cooling:
        return next(c for c in self.cooling if c.patio == patio and c.afternoon == afternoon)

    @property
    def failed(self) -> bool:
        return any(f.level == "fail" for f in self.findings)
