"""The sound line that faults are put into: one zone, as designed or as its commissioning sheet found it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from mistcalc.errors import InputError
from mistcalc.line.diagnosis.isolation_steps import Section
from mistcalc.line.network.arrays import NO_CHECK, Network, joined_to_supply, subnetwork
from mistcalc.line.network.solver import solve
from mistcalc.line.network.supply_curve import Curve, lift_curve, mains_curve
from mistcalc.line.piping.build_network import water_at
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Line, LineTube, MarkFlow
from mistcalc.model.results.diagnosis import CommissioningReadings
from mistcalc.model.site_readings import HANDED_OVER

SHUT_OFF = ("ball valve", "gate valve", "globe valve", "angle valve", "solenoid valve")
_CREEP_SHARE = 0.8  # of the opening pressure: no nozzle drips
_CREEP_LEAST = 0.3e5  # Pa left at the highest node, or the creep says nothing


@dataclass(frozen=True, eq=False)
class FaultCase:
    """One zone of a line as the table wants it: its sound network and where things are read.

    `network` holds the zone's nozzles only. `design` is their flow [m3/s] in the sound line, `gauge` [Pa]
    the supply's pressure then. `source` is the curve before a filter (mains) and `inlet` what a sound pump
    has before it, None where nobody stated it. `cupped` are the nozzles whose own flow the sheet holds.
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
    inlet: float | None
    sheet: bool
    design: float
    gauge: float
    sections: tuple[Section, ...]
    cupped: tuple[int, ...] = ()


def fault_case(
    plumbing: Plumbing, line: Line, zone: str = "", sheet: CommissioningReadings | None = None
) -> FaultCase:
    """The sound line of one zone ("": the largest), as designed, or as its sheet found it.

    Raises InputError("call-back-zone", "call-back-empty") for a zone that is none or has no nozzle that
    passes water.
    """
    zone = zone or line.duty.largest_zones[0]
    if zone not in {z.name for z in line.zones}:
        raise InputError("call-back-zone", "zone", text=zone, known=tuple(z.name for z in line.zones))
    opened = line.set_of(zone).opened
    net, marks, tubes = _network(line, line.marks_with(zone), opened)
    if not marks or max(m.flow for m in marks) <= 0.0:
        raise InputError("call-back-empty", "zone", text=zone)
    index = {name: i for i, name in enumerate(net.names)}
    gauges = [m.pressure_gauge for m in marks]
    opens = min(m.opens_at or 0.0 for m in marks)
    rise = float(np.max(net.elevation)) - float(net.elevation[net.supply_node])
    held = min(_CREEP_SHARE * opens, plumbing.water.static)
    creeps = held - line.water.density * net.gravity * rise >= _CREEP_LEAST
    here = [drain for drain in plumbing.drains if str(drain.at) in index]
    ported = [drain for drain in here if drain.test_port]
    at_drain, at_port = (index[str(some[0].at)] if some else None for some in (here, ported))
    point = plumbing.water
    case = FaultCase(
        network=net,
        marks=marks,
        pump=plumbing.pump is not None,
        feed=np.array([t.run == "" and t.length > 0.0 for t in tubes], bool),
        near=int(np.argmax(gauges)),
        far=int(np.argmin(gauges)),
        port=at_port,
        drain=at_drain,
        creep_gauge=held if creeps else None,
        source=lift_curve(point.tank)
        if point.tank is not None
        else mains_curve(point.static, point.residual, point.at_flow),
        inlet=None if line.duty.inlet_gauge is None else max(line.duty.inlet_gauge, 0.0),
        sheet=False,
        design=0.0,
        gauge=0.0,
        sections=_sections(tubes, plumbing),
    )
    case = _measured(case)
    return case if sheet is None else _as_found(case, sheet)


# ------------------------------------------------------------------ inside


def _network(
    line: Line, marks: tuple[MarkFlow, ...], opened: tuple[str, ...]
) -> tuple[Network, tuple[MarkFlow, ...], tuple[LineTube, ...]]:
    """What of the solved line has water while these valves are open, as a network again: with the marks that
    run in it and its tubes."""
    index = {node.name: i for i, node in enumerate(line.nodes)}
    temperatures = [t.temperature or line.water.temperature for t in line.tubes]
    states = {temperature: water_at(temperature) for temperature in temperatures}
    waters = [states[temperature] for temperature in temperatures]
    named = [f"{m.patio}/{m.name}" if f"{m.patio}/{m.name}" in index else m.name for m in marks]
    whole = Network(
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
    flowing = np.array([set(tube.valves) <= set(opened) for tube in line.tubes], bool)
    served = joined_to_supply(whole, flowing)
    flowing &= served[whole.start]
    running = served[whole.nozzle_node]
    return (
        subnetwork(whole, served, flowing, running),
        tuple(mark for mark, here in zip(marks, running, strict=True) if here),
        tuple(tube for tube, here in zip(line.tubes, flowing, strict=True) if here),
    )


def _sections(tubes: tuple[LineTube, ...], plumbing: Plumbing) -> tuple[Section, ...]:
    """Pieces that hold a valve by which they can be shut off."""
    closing = {p.name for p in plumbing.every_piece if any(k in SHUT_OFF and n > 0 for k, n in p.fittings)}
    names = [f"{tube.start} to {tube.end}" for tube in tubes]
    return tuple(
        Section(name, (n,))
        for n, (name, tube) in enumerate(zip(names, tubes, strict=True))
        if not tube.run and (name in closing or tube.valves)
    )


def _measured(case: FaultCase) -> FaultCase:
    """The same case with what its sound line does."""
    solved = solve(case.network)
    return replace(case, design=float(solved.nozzle_flow.sum()), gauge=solved.supply_gauge)


def _as_found(case: FaultCase, sheet: CommissioningReadings) -> FaultCase:
    """The same line with supply and nozzles such that gauge, meter and cups read what the sheet says."""
    for name in HANDED_OVER:
        value = getattr(sheet, name)
        if value is not None and not value > 0.0 and name != "inlet":
            raise InputError("call-back-sheet-zero", f"sheet.{name}")
    net, count = case.network, case.network.coefficient.size
    read = ((case.near, sheet.near), (case.far, sheet.far))
    cups = {nozzle: flow for nozzle, flow in read if flow is not None}
    cups = cups if len(cups) < count else {}  # else the meter has told them already
    cupped_nozzles = np.array(list(cups), np.intp)
    others = np.setdiff1d(np.arange(count), cupped_nozzles)
    left = sheet.meter - sum(cups.values())
    supply, nozzles = 1.0, np.ones(count)
    for _ in range(40):
        scaled = replace(net, supply_gauge=supply * net.supply_gauge, coefficient=nozzles * net.coefficient)
        solved = solve(scaled)
        flow, gauge = solved.nozzle_flow, sheet.gauge / solved.supply_gauge
        off = np.full(count, left / max(float(flow[others].sum()), 1e-30))
        off[cupped_nozzles] = np.array(list(cups.values())) / np.maximum(flow[cupped_nozzles], 1e-30)
        if max(abs(gauge - 1.0), float(np.max(np.abs(off - 1.0)))) < 1e-9:
            source = tuple((passed, supply * held) for passed, held in case.source)
            fitted = replace(
                case,
                network=scaled,
                design=float(flow.sum()),
                gauge=solved.supply_gauge,
                inlet=case.inlet if sheet.inlet is None else sheet.inlet,
                source=case.source if case.pump else source,
                sheet=True,
                cupped=tuple(cups),
            )
            return fitted
        supply *= gauge
        nozzles *= off / gauge**net.exponent
        if not (0.2 < supply < 5.0 and np.all((nozzles > 0.2) & (nozzles < 5.0))):
            break
    raise InputError("call-back-sheet", "sheet", gauge=sheet.gauge, meter=sheet.meter)
