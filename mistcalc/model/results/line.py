"""The solved line: pressures, flows and what the pump set must do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mistcalc.model.project import Nozzle, Tube
from mistcalc.model.quantities import CubicMetrePerSecond, Kelvin, Metre, Pascal, Share
from mistcalc.model.results.duty import Duty
from mistcalc.model.results.lid import Point


@dataclass(frozen=True, slots=True)
class MarkFlow:
    name: str
    patio: str
    flow: CubicMetrePerSecond
    pressure_gauge: Pascal
    state: Literal["open", "part open", "shut"]
    zone: str = ""  # open while this flow runs; zones run one at a time
    coefficient: float = 0.0  # of this mark's own nozzle: flow = coefficient * gauge ** exponent, SI
    exponent: float = 0.5
    opens_at: Pascal | None = None
    wide_at: Pascal | None = None  # its anti-drip check is wide open from here
    nozzle: Nozzle | None = None  # what is fitted there; None: the line's


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
    tube: Tube | None = None  # what it is made of
    temperature: Kelvin | None = None  # of the water in it; None: as the line's water
    one_way: bool = False  # a check valve lets water from start to end alone, past `opens_at`
    opens_at: Pascal = 0.0


@dataclass(frozen=True, slots=True)
class ZoneFlow:
    name: str
    flow: CubicMetrePerSecond
    far_mark: str
    far_gauge: Pascal
    marks: int
    supply_gauge: Pascal = 0.0  # at the pump, or where the main's line begins, while it runs
    least_flow: CubicMetrePerSecond = 0.0  # of one nozzle
    most_flow: CubicMetrePerSecond = 0.0


@dataclass(frozen=True, slots=True)
class WaterState:
    """Water as the network was solved with, for whoever checks it elsewhere."""

    temperature: Kelvin
    density: float  # kg/m3
    viscosity: float  # Pa s


@dataclass(frozen=True, slots=True)
class SolvedLine:
    """What the solver found. Zones run one at a time: each mark's flow and pressure are those of its own
    zone, nodes, tubes and total flow those of the largest zone (`duty.largest_zone`; with one zone, the
    whole line). Holds everything an `.inp` writer prints; writers do not compute."""

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
    residual: Pascal
    flow_residual: CubicMetrePerSecond
    worst_node: str
    iterations: int


@dataclass(frozen=True, slots=True)
class Line(SolvedLine):
    """The solved line and what it asks of pump, tube and fitter."""

    duty: Duty
