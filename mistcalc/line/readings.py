"""What a line with one thing wrong shows on gauge, meter and cup: the table readings are held against."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from mistcalc.errors import InputError
from mistcalc.line.arrays import NO_CHECK, Floats, Ints, Network
from mistcalc.line.assemble import water_at
from mistcalc.line.batch import Batch, solve_many
from mistcalc.line.faults import Faults, draw
from mistcalc.line.isolate import Section
from mistcalc.line.network import solve
from mistcalc.line.supply import Curve, mains_curve
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Line, MarkFlow
from mistcalc.model.results.callback import (
    CAUSES,
    Cause,
    Judgement,
    ReadingErrors,
    ReadingName,
    Sheet,
)

MEASURED: tuple[ReadingName, ...] = ("gauge", "meter", "inlet", "near", "far", "port", "creep")
DRAWS, DRAWS_WITHOUT_SHEET = 4_000, 16_000  # a cause

# Full scales of gauges, psi: ASME B40.100, preferred ranges (from memory). A gauge is chosen to work at no
# more than three quarters of its scale.
_SCALES = (15, 30, 60, 100, 160, 200, 300, 400, 600, 1000, 1500, 2000, 3000, 5000, 10000)
_PSI = 6894.757293168
_WORKS_AT_MOST = 0.75
_CREEP_SHARE = 0.8  # of the opening pressure: no nozzle drips
_CREEP_LEAST = 0.3e5  # Pa left at the highest node, or the creep says nothing


@dataclass(frozen=True, eq=False)
class FaultCase:
    """One zone of a line as the table wants it: its sound network and where things are read.

    `network` holds the zone's nozzles only. `design` is their flow [m3/s] in the sound line, `gauge` [Pa]
    the supply's pressure then. `source` is the curve before a filter (mains) and `inlet` what a sound pump
    has before it.
    """

    network: Network
    marks: tuple[MarkFlow, ...]
    pump: bool
    feed: np.ndarray  # [tube] True for the feed's
    near: int
    far: int
    port: int | None  # node
    drain: int | None  # node
    creep_gauge: float | None  # at the supply's height
    source: Curve
    inlet: float
    sheet: bool
    design: float
    gauge: float
    sections: tuple[Section, ...]


@dataclass(frozen=True, eq=False)
class FaultTable:
    """What each cause makes of each reading, draw by draw.

    values [reading, cause, draw], readings in the order of MEASURED, NaN-free (0 where the line cannot show
    it: see `possible`). valid [cause, draw]: the network closed. extent [cause, draw] as
    CauseShare.extent. shut, part [cause, draw]: nozzles so plugged besides the near and the far one, whose
    own state (0 sound, 1 part, 2 shut) near_state and far_state hold. error_base, error_share [reading]: a
    reading's deviation is the root of the sum of squares of base and share of the value.
    """

    case: FaultCase
    causes: tuple[Cause, ...]
    odds: Floats  # [cause], sums to 1
    values: Floats
    valid: np.ndarray
    extent: Floats
    shut: Ints
    part: Ints
    near_state: Ints
    far_state: Ints
    errors: ReadingErrors
    error_base: Floats
    error_share: Floats
    full_scale: Floats

    def possible(self, name: ReadingName) -> bool:
        if name == "port":
            return self.case.port is not None
        if name == "creep":
            return self.case.creep_gauge is not None
        return True

    def alone(self, name: ReadingName) -> bool:
        """Whether, within each cause, a reading depends on nothing that the others depend on. The pressure
        before a pump does: the pump draws its rated flow whatever the line takes."""
        return name == "inlet" and self.case.pump

    @cached_property
    def spread(self) -> Floats:
        """Standard deviation of each reading at each draw, as `values`."""
        base, share = self.error_base[:, None, None], self.error_share[:, None, None]
        return np.hypot(base, share * self.values)

    @cached_property
    def log_spread(self) -> Floats:
        """Logarithm of `spread`, which every reading's density wants."""
        return np.log(self.spread)

    def deviation(self, reading: int, value: Floats) -> Floats:
        """Standard deviation of a reading whose true value is `value`."""
        return np.hypot(self.error_base[reading], self.error_share[reading] * value)


def fault_case(plumbing: Plumbing, line: Line, zone: str = "", sheet: Sheet | None = None) -> FaultCase:
    """The sound line of one zone ("": the largest), as designed, or as its sheet found it.

    Raises InputError("callback-zone", "callback-empty") for a zone that is none or has no nozzle that
    passes water.
    """
    zone = zone or line.duty.largest_zone
    marks = tuple(m for m in line.marks if m.zone == zone)
    if zone not in {z.name for z in line.zones}:
        raise InputError("callback-zone", "zone", text=zone, known=tuple(z.name for z in line.zones))
    if not marks or max(m.flow for m in marks) <= 0.0:
        raise InputError("callback-empty", "zone", text=zone)
    index = {node.name: i for i, node in enumerate(line.nodes)}
    net = _network(line, marks, index)
    gauges = [m.pressure_gauge for m in marks]
    opens = min(m.opens_at or 0.0 for m in marks)
    rise = float(np.max(net.elevation)) - float(net.elevation[net.supply_node])
    held = min(_CREEP_SHARE * opens, plumbing.water.static)
    creeps = held - line.water.density * net.gravity * rise >= _CREEP_LEAST
    drain = plumbing.drain
    at_drain = index.get(str(drain.at)) if drain is not None else None
    point = plumbing.water
    case = FaultCase(
        network=net,
        marks=marks,
        pump=plumbing.pump is not None,
        feed=np.array([t.run == "" and t.length > 0.0 for t in line.tubes], bool),
        near=int(np.argmax(gauges)),
        far=int(np.argmin(gauges)),
        port=at_drain if drain is not None and drain.test_port else None,
        drain=at_drain,
        creep_gauge=held if creeps else None,
        source=mains_curve(point.static, point.residual, point.at_flow),
        inlet=max(line.duty.inlet_gauge, 0.0),
        sheet=False,
        design=0.0,
        gauge=0.0,
        sections=_sections(line),
    )
    case = _measured(case)
    return case if sheet is None else _as_found(case, sheet)


def fault_table(
    case: FaultCase,
    judgement: Judgement | None = None,
    errors: ReadingErrors | None = None,
    draws: int | None = None,
) -> FaultTable:
    """The table for one zone: `draws` of each cause this line can have (4,000, or 16,000 of a line that
    nobody measured when it was sound), solved together."""
    judgement, errors = judgement or Judgement(), errors or ReadingErrors()
    count = draws or (DRAWS if case.sheet else DRAWS_WITHOUT_SHEET)
    causes = tuple(c for c in CAUSES if _can_have(case, c) and judgement.odds[CAUSES.index(c)] > 0.0)
    odds = np.array([judgement.odds[CAUSES.index(c)] for c in causes])
    rows = [_rows(case, cause, count, judgement) for cause in causes]
    base, share, scale = _errors(case, errors)
    return FaultTable(
        case=case,
        causes=causes,
        odds=odds / odds.sum(),
        values=np.stack([row[0] for row in rows], axis=1),
        valid=np.stack([row[1] for row in rows]),
        extent=np.stack([row[2] for row in rows]),
        shut=np.stack([row[3][0] for row in rows]),
        part=np.stack([row[3][1] for row in rows]),
        near_state=np.stack([row[3][2] for row in rows]),
        far_state=np.stack([row[3][3] for row in rows]),
        errors=errors,
        error_base=base,
        error_share=share,
        full_scale=scale,
    )


def sound_table(case: FaultCase, draws: int = 400) -> FaultTable:
    """The sound line alone, for what it shows and how much that strays: cheap enough to ask at any time."""
    odds = tuple(float(cause == "sound") for cause in CAUSES)
    return fault_table(case, Judgement(odds=odds), draws=draws)


def shown(case: FaultCase, faults: Faults) -> tuple[Floats, np.ndarray, Batch]:
    """(values [reading, draw] that a line with these faults shows, converged [draw], the solved batch)."""
    batch = _solved(case, faults)
    net, count = case.network, faults.bore.size
    main_flow = batch.supply_flow
    if case.pump:
        inlet = faults.inlet if faults.starved else case.inlet * faults.main
    else:
        flow, gauge = np.array(case.source).T
        inlet = faults.supply * np.interp(main_flow, flow, gauge)
    none = np.zeros(count)
    creep = none
    if case.creep_gauge is not None:
        height = net.elevation[faults.leak_at] - net.elevation[net.supply_node]
        density = float(np.mean(net.density))
        behind = np.maximum(case.creep_gauge - density * net.gravity * height, 0.0)
        creep = faults.leak * case.design * np.sqrt(behind / case.gauge)
    port = batch.node_gauge[case.port] if case.port is not None else none
    values = np.stack(
        (
            batch.supply_gauge,
            main_flow,
            inlet,
            batch.nozzle_flow[case.near],
            batch.nozzle_flow[case.far],
            port,
            creep,
        )
    )
    return np.maximum(values, 0.0), batch.converged, batch


# ------------------------------------------------------------------ inside


def _network(line: Line, marks: tuple[MarkFlow, ...], index: dict[str, int]) -> Network:
    """The solved line as a network again, with the nozzles of one zone."""
    temperatures = [t.temperature or line.water.temperature for t in line.tubes]
    states = {temperature: water_at(temperature) for temperature in temperatures}
    waters = [states[temperature] for temperature in temperatures]
    named = [f"{m.patio}/{m.name}" if f"{m.patio}/{m.name}" in index else m.name for m in marks]
    return Network(
        elevation=np.array([node.elevation for node in line.nodes]),
        start=np.array([index[t.start] for t in line.tubes], np.intp),
        end=np.array([index[t.end] for t in line.tubes], np.intp),
        length=np.array([t.length for t in line.tubes]),
        bore=np.array([t.bore for t in line.tubes]),
        roughness=np.array([t.roughness for t in line.tubes]),
        minor_k=np.array([t.minor_k for t in line.tubes]),
        nozzle_node=np.array([index[name] for name in named], np.intp),
        coefficient=np.array([m.coefficient for m in marks]),
        exponent=np.array([m.exponent for m in marks]),
        opens_at=np.array([m.opens_at or 0.0 for m in marks]),
        check_opens_at=np.array([t.opens_at if t.one_way else NO_CHECK for t in line.tubes]),
        supply_node=index[line.supply_node],
        supply_flow=np.array([flow for flow, _ in line.supply]),
        supply_gauge=np.array([gauge for _, gauge in line.supply]),
        density=np.array([state.density for state in waters]),
        viscosity=np.array([state.viscosity for state in waters]),
        names=tuple(node.name for node in line.nodes),
    )


def _sections(line: Line) -> tuple[Section, ...]:
    """Runs, and pieces of some length beside them."""
    found: dict[str, list[int]] = {}
    for i, tube in enumerate(line.tubes):
        if tube.run or tube.length > 0.0:
            found.setdefault(tube.run or f"{tube.start} - {tube.end}", []).append(i)
    return tuple(Section(name, tuple(tubes)) for name, tubes in found.items())


def _measured(case: FaultCase) -> FaultCase:
    """The same case with what its sound line does."""
    solved = solve(case.network)
    return replace(case, design=float(solved.nozzle_flow.sum()), gauge=solved.supply_gauge)


def _as_found(case: FaultCase, sheet: Sheet) -> FaultCase:
    """The same line with supply and nozzles such that gauge and meter read what the sheet says."""
    for name, value in (("gauge", sheet.gauge), ("meter", sheet.meter)):
        if not value > 0.0:
            raise InputError("callback-sheet-zero", f"sheet.{name}")
    supply = nozzles = 1.0
    net = case.network
    for _ in range(40):
        supply *= sheet.gauge / case.gauge
        nozzles *= sheet.meter / case.design / (sheet.gauge / case.gauge) ** float(np.mean(net.exponent))
        if not (0.2 < supply < 5.0 and 0.2 < nozzles < 5.0):
            break
        scaled = replace(
            net,
            supply_gauge=supply * net.supply_gauge,
            coefficient=nozzles * net.coefficient,
        )
        case = _measured(replace(case, network=scaled))
        if max(abs(case.gauge / sheet.gauge - 1.0), abs(case.design / sheet.meter - 1.0)) < 1e-9:
            source = tuple((flow, supply * gauge) for flow, gauge in case.source)
            inlet = case.inlet if sheet.inlet is None else sheet.inlet
            return replace(case, sheet=True, inlet=inlet, source=case.source if case.pump else source)
    raise InputError("callback-sheet", "sheet", gauge=sheet.gauge, meter=sheet.meter)


def _can_have(case: FaultCase, cause: Cause) -> bool:
    if cause == "drain":
        return case.drain is not None
    return bool(case.feed.any()) if cause == "feed" else True


def _rows(
    case: FaultCase, cause: Cause, count: int, judgement: Judgement
) -> tuple[Floats, np.ndarray, Floats, tuple[Ints, Ints, Ints, Ints]]:
    """One cause's values, which of them closed, extents, and what an eye may see of it."""
    net = case.network
    faults = draw(
        cause,
        count,
        net.coefficient.size,
        net.elevation.size,
        pump=case.pump,
        sheet=case.sheet,
        judgement=judgement,
    )
    values, closed, batch = shown(case, faults)
    extent = faults.extent
    if cause in ("leak", "drain"):
        extent = batch.nozzle_flow[net.coefficient.size :].sum(axis=0)
    elif cause == "feed":
        extent = extent * float(net.bore[case.feed].mean())
    state = np.where(faults.left >= 1.0, 0, np.where(faults.left > 0.0, 1, 2))
    rest = np.ones(state.shape[0], bool)
    rest[[case.near, case.far]] = False
    looks = (
        (state[rest] == 2).sum(axis=0),
        (state[rest] == 1).sum(axis=0),
        state[case.near],
        state[case.far],
    )
    return np.where(closed, values, 0.0), closed, np.asarray(extent, float), looks


def _solved(case: FaultCase, faults: Faults) -> Batch:
    net = case.network
    flow, gauge = net.supply_flow[:, None], net.supply_gauge[:, None]
    held = faults.supply * (gauge[0] - faults.loss * (gauge[0] - gauge))
    coefficient = np.broadcast_to(net.coefficient[:, None], faults.coefficient.shape) * faults.coefficient
    extra = list(_extra(case, faults))
    if extra:
        nodes = np.array([node for node, _ in extra], np.intp)
        coefficient = np.vstack([coefficient, *(opening for _, opening in extra)])
        net = replace(
            net,
            nozzle_node=np.concatenate((net.nozzle_node, nodes)),
            coefficient=np.concatenate((net.coefficient, np.zeros(nodes.size))),
            exponent=np.concatenate((_full(net.exponent, case), np.full(nodes.size, 0.5))),
            opens_at=np.concatenate((_full(net.opens_at, case), np.zeros(nodes.size))),
        )
    bore = np.where(case.feed[:, None], faults.feed, 1.0) * faults.bore * net.bore[:, None]
    return solve_many(
        net,
        coefficient=coefficient,
        bore=bore,
        supply_flow=flow * faults.pump,
        supply_gauge=held,
    )


def _extra(case: FaultCase, faults: Faults) -> Iterator[tuple[int, Floats]]:
    """(node, coefficient [draw]) of openings that should not be there: flow goes as the root of pressure."""
    opening = case.design / np.sqrt(case.gauge)
    if faults.leak.any():
        for node in np.unique(faults.leak_at):
            yield int(node), np.where(faults.leak_at == node, faults.leak, 0.0) * opening
    if faults.drain.any() and case.drain is not None:
        yield case.drain, faults.drain * opening


def _full(value: Floats | float, case: FaultCase) -> Floats:
    return np.broadcast_to(np.asarray(value, float), case.network.coefficient.shape)


def _errors(case: FaultCase, errors: ReadingErrors) -> tuple[Floats, Floats, Floats]:
    """Base and share of each reading's deviation, and the full scale of its gauge (inf: none)."""
    line, before = full_scale(case.gauge), full_scale(max(case.inlet, case.source[0][1]))
    base = {
        "gauge": errors.gauge * line,
        "meter": errors.meter_least,
        "inlet": errors.gauge * before,
        "near": errors.cup_least,
        "far": errors.cup_least,
        "port": errors.gauge * line,
        "creep": errors.creep,
    }
    share = {"meter": errors.meter, "near": errors.cup, "far": errors.cup, "creep": errors.meter}
    scale = {"gauge": line, "port": line, "inlet": before}
    return (
        np.array([base[name] for name in MEASURED]),
        np.array([share.get(name, 0.0) for name in MEASURED]),
        np.array([scale.get(name, np.inf) for name in MEASURED]),
    )


def full_scale(gauge: float) -> float:
    """Full scale [Pa] of the gauge a fitter would take for a line that works at `gauge` [Pa]."""
    wanted = gauge / _WORKS_AT_MOST
    return next((scale * _PSI for scale in _SCALES if scale * _PSI >= wanted), wanted)
