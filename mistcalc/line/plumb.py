"""From what people state and the marks laid out to a solved Line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace

import numpy as np

from mistcalc.line import pump_set
from mistcalc.line.arrays import Network
from mistcalc.line.assemble import coefficient, demand, network_of, nozzles_of, water_at
from mistcalc.line.duty import duty_of
from mistcalc.line.evenness import uniformity
from mistcalc.line.network import STATES, Solution, prepare, solve
from mistcalc.line.route import Route, RouteTube, lay_route
from mistcalc.line.supply import Curve, mains_curve, pump_curve
from mistcalc.model.project import Nozzle, Plumbing
from mistcalc.model.results import (
    Layout,
    Line,
    LineNode,
    LineTube,
    MarkFlow,
    SolvedLine,
    ZoneFlow,
)
from mistcalc.physics import pipe
from mistcalc.physics.nozzle import FULL_OPEN

SPARE_SHARE = 0.85  # of the pump a line beyond the ladder is solved with


def plumb(plumbing: Plumbing, layouts: Sequence[Layout]) -> Line:
    """Pressure and flow at every mark, and what the pump set must do.

    Zones run one at a time: every zone is solved alone and a mark's flow and pressure are those of its own
    zone. Nodes, tubes and total flow are of the largest zone, which with one zone is the whole line.
    Raises ConvergenceError where the network does not close, InputError for a piece or a run that water
    cannot reach, RangeError for a metal tube hotter than its strength is tabulated.
    """
    route = lay_route(plumbing, layouts)
    nozzles = nozzles_of(plumbing, route)
    zone_of = {run: zone.name for zone in plumbing.zones for run in zone.runs}
    names = [zone.name for zone in plumbing.zones] or [""]
    members = {
        name: [n for n, m in route.marks.items() if zone_of.get(m.run, names[0]) == name] for name in names
    }
    asked = {name: demand([nozzles[node] for node in members[name]], _aim(plumbing)) for name in names}
    largest = max(names, key=asked.__getitem__)
    supply, rated = _supply(plumbing, asked[largest])
    whole = network_of(plumbing, route, supply)
    solved = {name: _solve_zone(whole, route, members[name]) for name in names}
    line = _line(plumbing, route, nozzles, supply, members, largest, solved)
    if plumbing.pump is None:  # what the main gives, not what nozzles would take at its static pressure
        asked = {name: float(one.nozzle_flow.sum()) for name, one in solved.items()}
    duty = duty_of(plumbing, layouts, line, asked, largest, rated)
    return Line(**{f.name: getattr(line, f.name) for f in fields(line)}, duty=duty)


def _aim(plumbing: Plumbing) -> float:
    """Pressure [Pa gauge] the nozzles are meant for: as set, or the main's with nothing running."""
    return plumbing.pump.set_pressure if plumbing.pump is not None else plumbing.water.static


def _supply(plumbing: Plumbing, required: float) -> tuple[Curve, float | None]:
    """The supply's curve and the pump's rated flow, None on the mains. No nameplate: the ladder's pick."""
    pump, point = plumbing.pump, plumbing.water
    if pump is None:
        curve = mains_curve(point.static, point.residual, point.at_flow)
        return (pump_set.through_filter(curve) if point.filter is not None else curve), None
    if pump.nameplate is not None:
        rated = pump.nameplate.flow
    else:
        rated = pump_set.pick_pump(required, pump.motors) or required / SPARE_SHARE
    return pump_curve(pump.set_pressure, rated, set_at=min(required, rated)), rated


def _solve_zone(whole: Network, route: Route, members: Sequence[str]) -> Solution:
    """The line with only these nozzles open."""
    chosen = set(members)
    here = np.array([name in chosen for name in route.marks], bool)
    of_each = {f: getattr(whole, f)[here] for f in ("nozzle_node", "coefficient", "exponent", "opens_at")}
    return solve(prepare(replace(whole, **of_each)))


# ------------------------------------------------------------------ the noun


def _line(
    plumbing: Plumbing,
    route: Route,
    nozzles: Mapping[str, Nozzle],
    supply: Curve,
    members: dict[str, list[str]],
    largest: str,
    solved: dict[str, Solution],
) -> SolvedLine:
    main = solved[largest]
    flows = {
        name: flow
        for zone, s in solved.items()
        for name, flow in _mark_flows(route, nozzles, members[zone], s, zone)
    }
    marks = tuple(flows[name] for name in route.marks)
    far = min(marks, key=lambda m: m.pressure_gauge, default=None)
    spread, cu, du = uniformity([m.flow * _against(plumbing, m) for m in marks])
    return SolvedLine(
        nodes=tuple(
            LineNode(name, z, route.point.get(name), float(p))
            for (name, z), p in zip(route.elevation.items(), main.node_gauge, strict=True)
        ),
        tubes=tuple(
            _tube(t, *values)
            for t, *values in zip(route.tubes, main.tube_flow, main.tube_loss, main.minor_k, strict=True)
        ),
        marks=marks,
        zones=tuple(_zone_flow(zone, s, [flows[n] for n in members[zone]]) for zone, s in solved.items()),
        supply_node=route.source,
        supply=supply,
        supply_gauge=main.supply_gauge,
        total_flow=float(main.nozzle_flow.sum()),
        far_mark=far.name if far else "",
        far_gauge=far.pressure_gauge if far else main.supply_gauge,
        flow_spread=spread,
        uniformity_cu=cu,
        uniformity_du=du,
        nozzle_coefficient=coefficient(plumbing.nozzle),
        nozzle_exponent=plumbing.nozzle.exponent,
        opens_at=plumbing.nozzle.opens_at,
        water=water_at(plumbing.water.temperature),
        friction_law="churchill",
        residual=max(s.pressure_residual for s in solved.values()),
        flow_residual=max(s.flow_residual for s in solved.values()),
        worst_node=main.worst_node,
        iterations=max(s.iterations for s in solved.values()),
    )


def _against(plumbing: Plumbing, mark: MarkFlow) -> float:
    """What makes flows comparable: the line's nozzle over the mark's own, as meant; 1 where they are one."""
    usual, aim = plumbing.nozzle, _aim(plumbing)
    return coefficient(usual) * aim**usual.exponent / (mark.coefficient * aim**mark.exponent)


def _tube(tube: RouteTube, flow: float, loss: float, minor_k: float) -> LineTube:
    bore = tube.tube.bore
    return LineTube(
        start=tube.start,
        end=tube.end,
        length=tube.length,
        bore=bore,
        roughness=pipe.DRAWN_ROUGHNESS,
        flow=float(flow),
        speed=float(flow) / (np.pi / 4.0 * bore**2),
        loss=float(loss),
        minor_k=float(minor_k),
        run=tube.run,
        tube=tube.tube,
        temperature=tube.temperature,
        one_way=tube.one_way,
        opens_at=tube.opens_at,
    )


def _mark_flows(
    route: Route, nozzles: Mapping[str, Nozzle], members: Sequence[str], solved: Solution, zone: str
) -> list[tuple[str, MarkFlow]]:
    rows = zip(members, solved.nozzle_flow, solved.nozzle_gauge, solved.nozzle_state, strict=True)
    return [
        (
            node,
            MarkFlow(
                name=route.marks[node].name,
                patio=route.marks[node].patio,
                flow=float(flow),
                pressure_gauge=float(gauge),
                state=STATES[state],  # type: ignore[arg-type]
                zone=zone,
                coefficient=coefficient(nozzles[node]),
                exponent=nozzles[node].exponent,
                opens_at=nozzles[node].opens_at,
                wide_at=_wide_at(nozzles[node]),
                nozzle=nozzles[node],
            ),
        )
        for node, flow, gauge, state in rows
    ]


def _zone_flow(zone: str, solved: Solution, marks: Sequence[MarkFlow]) -> ZoneFlow:
    far = min(marks, key=lambda m: m.pressure_gauge, default=None)
    return ZoneFlow(
        zone,
        float(solved.nozzle_flow.sum()),
        far.name if far else "",
        far.pressure_gauge if far else solved.supply_gauge,
        len(marks),
        solved.supply_gauge,
        min((m.flow for m in marks), default=0.0),
        max((m.flow for m in marks), default=0.0),
    )


def _wide_at(nozzle: Nozzle) -> float | None:
    return FULL_OPEN * nozzle.opens_at if nozzle.opens_at else None
