"""From what people state and the marks laid out to a solved Line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace

import numpy as np

from mistcalc.line import pump_set
from mistcalc.line.duty import duty_of
from mistcalc.line.evenness import uniformity
from mistcalc.line.network import STATES, Network, Solution, prepare, solve
from mistcalc.line.route import Route, lay_route
from mistcalc.line.supply import Curve, mains_curve, pump_curve
from mistcalc.model.project import Plumbing
from mistcalc.model.results import (
    Layout,
    Line,
    LineNode,
    LineTube,
    MarkFlow,
    SolvedLine,
    WaterState,
    ZoneFlow,
)
from mistcalc.physics import pipe, water

SPARE_SHARE = 0.85  # of the pump a line beyond the ladder is solved with


def plumb(plumbing: Plumbing, layouts: Sequence[Layout]) -> Line:
    """Pressure and flow at every mark, and what the pump set must do.

    Zones run one at a time: every zone is solved alone and a mark's flow and pressure are those of its own
    zone. Nodes, tubes and total flow are of the largest zone, which with one zone is the whole line.
    Raises ConvergenceError where the network does not close, InputError for a piece or a run that water
    cannot reach, RangeError for a metal tube hotter than its strength is tabulated.
    """
    route = lay_route(plumbing, layouts)
    state = _water(plumbing)
    zone_of = {run: zone.name for zone in plumbing.zones for run in zone.runs}
    names = [zone.name for zone in plumbing.zones] or [""]
    members = {
        name: [n for n, m in route.marks.items() if zone_of.get(m.run, names[0]) == name] for name in names
    }
    largest = max(names, key=lambda name: len(members[name]))
    supply, rated = _supply(plumbing, len(members[largest]))
    whole = _network(plumbing, route, state, supply)
    solved = {name: _solve_zone(whole, route, members[name]) for name in names}
    line = _line(plumbing, route, state, supply, members, largest, solved)
    demand = {name: _demand(plumbing, len(members[name]), solved[name]) for name in names}
    duty = duty_of(plumbing, layouts, line, demand, largest, rated)
    return Line(**{f.name: getattr(line, f.name) for f in fields(line)}, duty=duty)


# ------------------------------------------------------------------ arrays


def _water(plumbing: Plumbing) -> WaterState:
    t = plumbing.water.temperature
    return WaterState(t, float(water.density(t)), float(water.viscosity(t)))


def _coefficient(plumbing: Plumbing) -> float:
    nozzle = plumbing.nozzle
    return nozzle.flow / nozzle.at**nozzle.exponent


def _mains(plumbing: Plumbing) -> Curve:
    point = plumbing.water
    curve = mains_curve(point.static, point.residual, point.at_flow)
    return pump_set.through_filter(curve) if point.filter is not None else curve


def _supply(plumbing: Plumbing, nozzles: int) -> tuple[Curve, float | None]:
    """The supply's curve and the pump's rated flow, None on the mains. No nameplate: the ladder's pick."""
    pump = plumbing.pump
    if pump is None:
        return _mains(plumbing), None
    required = nozzles * _coefficient(plumbing) * pump.set_pressure**plumbing.nozzle.exponent
    if pump.nameplate is not None:
        rated = pump.nameplate.flow
    else:
        rated = pump_set.pick_pump(required) or required / SPARE_SHARE
    return pump_curve(pump.set_pressure, rated, set_at=min(required, rated)), rated


def _demand(plumbing: Plumbing, nozzles: int, solved: Solution) -> float:
    """What a zone takes [m3/s]: at set pressure, or what the main gives it."""
    if plumbing.pump is None:
        return float(solved.nozzle_flow.sum())
    return nozzles * _coefficient(plumbing) * plumbing.pump.set_pressure**plumbing.nozzle.exponent


def _losses(fittings: Sequence[str]) -> tuple[float, float]:
    found = [pipe.fitting(kind) for kind in fittings]
    return sum(f.k for f in found), sum(f.laminar for f in found)


def _network(plumbing: Plumbing, route: Route, state: WaterState, supply: Curve) -> Network:
    """The whole line, every nozzle in it."""
    index = {name: i for i, name in enumerate(route.elevation)}
    losses = np.array([_losses(tube.fittings) for tube in route.tubes]).reshape(-1, 2)
    return Network(
        elevation=np.array(list(route.elevation.values())),
        start=np.array([index[t.start] for t in route.tubes], np.intp),
        end=np.array([index[t.end] for t in route.tubes], np.intp),
        length=np.array([t.length for t in route.tubes]),
        bore=np.full(len(route.tubes), plumbing.tube.bore),
        minor_k=losses[:, 0],
        minor_laminar=losses[:, 1],
        nozzle_node=np.array([index[name] for name in route.marks], np.intp),
        coefficient=np.full(len(route.marks), _coefficient(plumbing)),
        exponent=plumbing.nozzle.exponent,
        opens_at=plumbing.nozzle.opens_at or 0.0,
        supply_node=index[route.source],
        supply_flow=np.array([flow for flow, _ in supply]),
        supply_gauge=np.array([gauge for _, gauge in supply]),
        density=state.density,
        viscosity=state.viscosity,
        names=tuple(route.elevation),
    )


def _solve_zone(whole: Network, route: Route, members: Sequence[str]) -> Solution:
    """The line with only these nozzles open."""
    chosen = set(members)
    here = np.array([name in chosen for name in route.marks], bool)
    return solve(
        prepare(replace(whole, nozzle_node=whole.nozzle_node[here], coefficient=whole.coefficient[here]))
    )


# ------------------------------------------------------------------ the noun


def _line(
    plumbing: Plumbing,
    route: Route,
    state: WaterState,
    supply: Curve,
    members: dict[str, list[str]],
    largest: str,
    solved: dict[str, Solution],
) -> SolvedLine:
    main, bore = solved[largest], plumbing.tube.bore
    flows = {
        name: flow for zone, s in solved.items() for name, flow in _mark_flows(route, members[zone], s, zone)
    }
    marks = tuple(flows[name] for name in route.marks)
    far = min(marks, key=lambda m: m.pressure_gauge, default=None)
    spread, cu, du = uniformity([m.flow for m in marks])
    area = np.pi / 4.0 * bore**2
    return SolvedLine(
        nodes=tuple(
            LineNode(name, z, route.point.get(name), float(p))
            for (name, z), p in zip(route.elevation.items(), main.node_gauge, strict=True)
        ),
        tubes=tuple(
            LineTube(
                t.start,
                t.end,
                t.length,
                bore,
                pipe.DRAWN_ROUGHNESS,
                float(q),
                float(q) / area,
                float(h),
                float(k),
                t.run,
            )
            for t, q, h, k in zip(route.tubes, main.tube_flow, main.tube_loss, main.minor_k, strict=True)
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
        nozzle_coefficient=_coefficient(plumbing),
        nozzle_exponent=plumbing.nozzle.exponent,
        opens_at=plumbing.nozzle.opens_at,
        water=state,
        friction_law="churchill",
        residual=max(s.pressure_residual for s in solved.values()),
        flow_residual=max(s.flow_residual for s in solved.values()),
        worst_node=main.worst_node,
        iterations=max(s.iterations for s in solved.values()),
    )


def _mark_flows(
    route: Route, members: Sequence[str], solved: Solution, zone: str
) -> list[tuple[str, MarkFlow]]:
    rows = zip(members, solved.nozzle_flow, solved.nozzle_gauge, solved.nozzle_state, strict=True)
    return [
        (name, MarkFlow(route.marks[name].name, route.marks[name].patio, float(q), float(p), STATES[s], zone))  # type: ignore[arg-type]
        for name, q, p, s in rows
    ]


def _zone_flow(zone: str, solved: Solution, marks: Sequence[MarkFlow]) -> ZoneFlow:
    far = min(marks, key=lambda m: m.pressure_gauge, default=None)
    return ZoneFlow(
        zone,
        float(solved.nozzle_flow.sum()),
        far.name if far else "",
        far.pressure_gauge if far else solved.supply_gauge,
        len(marks),
    )
