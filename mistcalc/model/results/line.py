"""The solved line: pressures, flows and what the pump set must do."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from mistcalc.model.project import Nozzle, Tube
from mistcalc.model.quantities import CubicMetrePerSecond, Kelvin, Metre, Pascal, Share
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.layout import Point, RunLine
from mistcalc.model.results.line_sizing import LineSizing

NEAR = 1e-6  # m


@dataclass(frozen=True, slots=True, repr=False)
class MarkFlow(ShortRepr):
    name: str
    patio: str
    flow: CubicMetrePerSecond
    pressure_gauge: Pascal
    state: Literal["open", "part open", "shut"]
    zone: str = ""  # its own; this flow runs while the largest set of zones does that it may run in
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


@dataclass(frozen=True, slots=True, repr=False)
class LineTube(ShortRepr):
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
    valves: tuple[str, ...] = ()  # zones whose valve stands in it
    shut: bool = False  # one of them is shut while this flow runs
    most_flow: CubicMetrePerSecond = 0.0  # in whichever set of zones most flows in it


@dataclass(frozen=True, slots=True)
class SetFlow:
    """Zones that run at the same time, and what they take."""

    asked: tuple[str, ...]  # opened on purpose
    zones: tuple[str, ...]  # that pass water then: those they hang behind too, and those that leak
    opened: tuple[str, ...]  # whose valves are open
    flow: CubicMetrePerSecond
    wanted: CubicMetrePerSecond  # of their nozzles wide open at set pressure; on the mains what they pass
    supply_gauge: Pascal


@dataclass(frozen=True, slots=True)
class ZonePiping:
    """Where a zone's valve stands, and what is wrong with the way to it."""

    valves: tuple[str, ...]  # pieces
    behind: tuple[str, ...] = ()  # zones that must run for this one to have water
    cut: str = ""  # the piece by which it leaves another's run; "" where it hangs behind a valve alone
    end: str = ""  # where that piece leads
    tee: str = ""  # the last place before those zones' valves, where a feed of its own would begin
    move: str = ""  # a valve of theirs that shuts more than them
    leaks_with: tuple[str, ...] | None = (
        None  # zones that give it water past its shut valve; (): it always runs
    )
    leaks_by: str = ""  # piece


@dataclass(frozen=True, slots=True, repr=False)
class ZoneFlow(ShortRepr):
    """A zone in the largest set of zones that it may run in."""

    name: str
    flow: CubicMetrePerSecond  # of its own nozzles
    far_mark: str
    far_gauge: Pascal
    marks: int
    supply_gauge: Pascal = 0.0  # at the pump, or where the main's line begins, while it runs
    least_flow: CubicMetrePerSecond = 0.0  # of one nozzle
    most_flow: CubicMetrePerSecond = 0.0
    runs_with: tuple[str, ...] = ()  # all zones that pass water then, itself among them
    flow_spread: Share = 0.0  # 1 - qmin/qmax
    uniformity_cu: Share = 1.0
    uniformity_du: Share = 1.0
    christiansen_loss: Pascal = 0.0  # hand check of its run that loses most, beside the solver's
    solver_loss: Pascal = 0.0
    piping: ZonePiping = ZonePiping(())
    way: tuple[
        tuple[str, Pascal], ...
    ] = ()  # nodes from the supply to its far mark, and the pressure at each


@dataclass(frozen=True, slots=True)
class WaterState:
    """Water as the network was solved with, for whoever checks it elsewhere."""

    temperature: Kelvin
    density: float  # kg/m3
    viscosity: float  # Pa s


@dataclass(frozen=True, slots=True, repr=False)
class SolvedLine(ShortRepr):
    """What the solver found. Zones run alone or in sets: each mark's flow and pressure are those of the
    largest set its zone may run in, nodes, tubes and total flow those of the largest set of all
    (`duty.largest_zones`; with one zone, the whole line). Behind a shut valve water stands without pressure.
    flow_spread and uniformities are those of the zone whose nozzles differ most. Holds everything an `.inp`
    writer prints; writers do not compute."""

    nodes: tuple[LineNode, ...]
    tubes: tuple[LineTube, ...]
    marks: tuple[MarkFlow, ...]
    zones: tuple[ZoneFlow, ...]
    sets: tuple[SetFlow, ...]  # every way the line may run
    supply_node: str
    supply: tuple[tuple[CubicMetrePerSecond, Pascal], ...]  # falling curve, straight between points
    supply_gauge: Pascal
    total_flow: CubicMetrePerSecond
    far_mark: str
    far_gauge: Pascal
    flow_spread: Share  # of the zone that is worst: 1 - qmin/qmax
    uniformity_cu: Share
    uniformity_du: Share
    nozzle_exponent: float
    opens_at: Pascal | None
    water: WaterState
    friction_law: str
    residual: Pascal
    flow_residual: CubicMetrePerSecond
    worst_node: str
    iterations: int

    def set_of(self, zone: str) -> SetFlow:
        """The largest set that a zone may run in: its flows and pressures are told for it."""
        return next(set_flow for set_flow in self.sets if set_flow.zones == self.zone(zone).runs_with)

    def zone(self, name: str) -> ZoneFlow:
        return next(zone for zone in self.zones if zone.name == name)

    def marks_with(self, zone: str) -> tuple[MarkFlow, ...]:
        """All marks that pass water in that set."""
        return tuple(mark for mark in self.marks if mark.zone in self.zone(zone).runs_with)

    def laid_tube(self, row: RunLine) -> tuple[Point, Point]:
        """The part of a row in which tube lies: a dead end stops at its last mark. The whole row where the
        line has none on it."""
        named = {end for tube in self.tubes if tube.run == row.name for end in (tube.start, tube.end)}
        points = [node.point for node in self.nodes if node.name in named and node.point is not None]
        start, end = row.tube
        if not points:
            return start, end
        first = min(points, key=lambda point: math.dist(point, start))
        last = max(points, key=lambda point: math.dist(point, start))
        return (first, last) if math.dist(first, last) > NEAR else (start, end)


@dataclass(frozen=True, slots=True, repr=False)
class Line(SolvedLine):
    """The solved line and what it asks of pump, tube and fitter."""

    duty: LineSizing
