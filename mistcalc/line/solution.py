"""From what people state and the marks laid out to a solved Line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace

from mistcalc.line.even_flow import hand_check_of, uniformity
from mistcalc.line.network.solver import STATES
from mistcalc.line.network.supply_curve import Curve, lift_curve, mains_curve, pump_curve
from mistcalc.line.piping.build_network import coefficient, demand, network_of, nozzles_of, water_at
from mistcalc.line.piping.pipe_graph import Route, lay_route
from mistcalc.line.piping.shortest_path import way_to
from mistcalc.line.piping.solve_zones import SolvedSet, solve_set
from mistcalc.line.piping.zone_valves import Zoning, with_valves, zoning_of
from mistcalc.line.sizing import pump_sizing
from mistcalc.line.sizing.line_sizing import line_sizing_of
from mistcalc.model.project import Nozzle, Plumbing
from mistcalc.model.results import (
    Layout,
    Line,
    LineNode,
    Mark,
    MarkFlow,
    SetFlow,
    SolvedLine,
    ZoneFlow,
    ZonePiping,
)
from mistcalc.physics.nozzle import FULL_OPEN

SPARE_SHARE = 0.85  # of the pump a line beyond the ladder is solved with


def solve_line(plumbing: Plumbing, layouts: Sequence[Layout]) -> Line:
    """Pressure and flow at every mark, and what the pump set must do.

    Every zone is solved alone and in every set it may run in, with all that has water then: zones it hangs
    behind, and zones that leak. A mark's flow and pressure are those of the largest set of its zone. Nodes,
    tubes and total flow are of the largest set of all, which with one zone is the whole line.
    Raises ConvergenceError where the network does not close, InputError for a piece or a run that water
    cannot reach, RangeError for a metal tube hotter than its strength is tabulated.
    """
    route = lay_route(plumbing, layouts)
    zoning = zoning_of(plumbing, route)
    route = with_valves(route, zoning)
    nozzles = nozzles_of(plumbing, route)
    wanted = [
        demand(
            [nozzles[n] for n, m in route.marks.items() if zoning.zone_of[m.run] in zone_set.zones],
            plumbing.working,
        )
        for zone_set in zoning.sets
    ]
    supply, rated = _supply(plumbing, max(wanted))
    whole = network_of(plumbing, route, supply)
    sets = tuple(solve_set(plumbing, route, whole, zoning, zone_set) for zone_set in zoning.sets)
    main = max(range(len(sets)), key=wanted.__getitem__)
    shown = {  # the set that tells of a zone: the largest it is in
        zone: sets[
            max(
                (n for n, zone_set in enumerate(zoning.sets) if zone in zone_set.zones),
                key=wanted.__getitem__,
            )
        ]
        for zone in zoning.runs
    }
    if plumbing.pump is None:  # what the main gives, not what nozzles would take at its static pressure
        wanted = [zone_set.flow for zone_set in sets]
    line = _line(plumbing, route, nozzles, supply, zoning, sets, wanted, main, shown)
    duty = line_sizing_of(plumbing, layouts, line, sets, shown, rated)
    return Line(**{f.name: getattr(line, f.name) for f in fields(line)}, duty=duty)


def _supply(plumbing: Plumbing, required: float) -> tuple[Curve, float | None]:
    """The supply's curve and the pump's rated flow, None on the mains. No nameplate: the ladder's pick."""
    pump, point = plumbing.pump, plumbing.water
    if pump is None:
        tank, main = point.tank, (point.static, point.residual, point.at_flow)
        curve = lift_curve(tank) if tank is not None else mains_curve(*main)
        return (pump_sizing.through_filter(curve) if point.filter is not None else curve), None
    if pump.nameplate is not None:
        rated = pump.nameplate.flow
    else:
        rated = pump_sizing.pick_pump(required, pump.motors) or required / SPARE_SHARE
    return pump_curve(pump.set_pressure, rated, set_at=min(required, rated)), rated


# ------------------------------------------------------------------ the noun


def _line(
    plumbing: Plumbing,
    route: Route,
    nozzles: Mapping[str, Nozzle],
    supply: Curve,
    zoning: Zoning,
    sets: Sequence[SolvedSet],
    wanted: Sequence[float],
    main: int,
    shown: Mapping[str, SolvedSet],
) -> SolvedLine:
    flows = {
        name: _mark_flow(mark, nozzles[name], shown[zone].nozzle[name], zone)
        for name, mark in route.marks.items()
        for zone in (zoning.zone_of[mark.run],)
    }
    zones = tuple(_zone_flow(plumbing, route, zoning, zone, shown[zone], flows) for zone in zoning.runs)
    marks = tuple(flows.values())
    far = min(marks, key=lambda m: m.pressure_gauge, default=None)
    uneven = max(zones, key=lambda zone: zone.flow_spread)
    largest = sets[main]
    return SolvedLine(
        nodes=tuple(
            LineNode(name, z, route.point.get(name), largest.gauge[name])
            for name, z in route.elevation.items()
        ),
        tubes=tuple(
            tube if most == tube.most_flow else replace(tube, most_flow=most)
            for tube, *every in zip(largest.tubes, *(zone_set.tubes for zone_set in sets), strict=True)
            for most in (max(other.most_flow for other in every),)
        ),
        marks=marks,
        zones=zones,
        sets=tuple(
            SetFlow(planned.asked, planned.zones, planned.opened, solved.flow, asked, solved.supply_gauge)
            for planned, solved, asked in zip(zoning.sets, sets, wanted, strict=True)
        ),
        supply_node=route.source,
        supply=supply,
        supply_gauge=largest.supply_gauge,
        total_flow=largest.flow,
        far_mark=far.name if far else "",
        far_gauge=far.pressure_gauge if far else largest.supply_gauge,
        flow_spread=uneven.flow_spread,
        uniformity_cu=uneven.uniformity_cu,
        uniformity_du=uneven.uniformity_du,
        nozzle_exponent=plumbing.nozzle.exponent,
        opens_at=plumbing.nozzle.opens_at,
        water=water_at(plumbing.water.temperature),
        friction_law="churchill",
        residual=max(zone_set.solution.pressure_residual for zone_set in sets),
        flow_residual=max(zone_set.solution.flow_residual for zone_set in sets),
        worst_node=largest.solution.worst_node,
        iterations=max(zone_set.solution.iterations for zone_set in sets),
    )


def _against(plumbing: Plumbing, mark: MarkFlow) -> float:
    """What makes flows comparable: the line's nozzle over the mark's own, as meant; 1 where they are one."""
    usual, aim = plumbing.nozzle, plumbing.working
    return coefficient(usual) * aim**usual.exponent / (mark.coefficient * aim**mark.exponent)


def _mark_flow(mark: Mark, nozzle: Nozzle, solved: tuple[float, float, int], zone: str) -> MarkFlow:
    flow, gauge, state = solved
    return MarkFlow(
        name=mark.name,
        patio=mark.patio,
        flow=flow,
        pressure_gauge=gauge,
        state=STATES[state],  # type: ignore[arg-type]
        zone=zone,
        coefficient=coefficient(nozzle),
        exponent=nozzle.exponent,
        opens_at=nozzle.opens_at,
        wide_at=FULL_OPEN * nozzle.opens_at if nozzle.opens_at else None,
        nozzle=nozzle,
    )


def _zone_flow(
    plumbing: Plumbing,
    route: Route,
    zoning: Zoning,
    zone: str,
    zone_set: SolvedSet,
    flows: Mapping[str, MarkFlow],
) -> ZoneFlow:
    marks_of_zone = {name: flow for name, flow in flows.items() if flow.zone == zone}
    marks = list(marks_of_zone.values())
    far = min(marks, key=lambda m: m.pressure_gauge, default=None)
    spread, cu, du = uniformity([m.flow * _against(plumbing, m) for m in marks])
    here = {mark.run for name, mark in route.marks.items() if name in marks_of_zone}
    hand, ours = hand_check_of(
        [t for t in zone_set.tubes if t.run in here], zone_set.gauge, set(marks_of_zone), zone_set.water
    )
    return ZoneFlow(
        zone,
        sum(m.flow for m in marks),
        far.name if far else "",
        far.pressure_gauge if far else zone_set.supply_gauge,
        len(marks),
        zone_set.supply_gauge,
        min((m.flow for m in marks), default=0.0),
        max((m.flow for m in marks), default=0.0),
        zone_set.zones,
        spread,
        cu,
        du,
        hand,
        ours,
        _piping(zoning, zone),
        _way(
            route.source,
            zone_set,
            min(marks_of_zone, key=lambda name: marks_of_zone[name].pressure_gauge, default=route.source),
        ),
    )


def _way(source: str, solved_set: SolvedSet, node: str) -> tuple[tuple[str, float], ...]:
    """Nodes from the supply to one of them by the shortest way that is open, with their pressures."""
    names = [node]
    for tube in way_to(source, [tube for tube in solved_set.tubes if not tube.shut], node):
        names.append(tube.start if tube.end == names[-1] else tube.end)
    return tuple((name, solved_set.gauge[name]) for name in reversed(names))


def _piping(zoning: Zoning, zone: str) -> ZonePiping:
    """Where its valve stands, and what is wrong with the way to it."""
    tubes = zoning.route.tubes

    def piece(n: int) -> str:
        return f"{tubes[n].start} to {tubes[n].end}"

    valves = tuple(piece(n) for n in zoning.valves[zone])
    piping = ZonePiping(valves)
    behind = tuple(other for other in zoning.open_set((zone,)).opened if other != zone)
    if behind:
        first = min((n for other in behind for n in zoning.valves[other]), key=zoning.nearness)
        left = zoning.leaves(zone, behind)
        cut, end = (piece(left[0]), left[1]) if left else ("", "")
        move = "" if left else piece(first)
        piping = ZonePiping(valves, behind, cut, end, zoning.near_end(first), move)
    leak = zoning.leak(zone)
    return replace(piping, leaks_with=leak[0], leaks_by=piece(leak[1])) if leak else piping
