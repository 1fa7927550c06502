"""One way the line may run: some valves open, the others shut, solved and told node by node."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mistcalc.line.arrays import Network, joined_to_supply, part_of
from mistcalc.line.assemble import water_at
from mistcalc.line.network import SHUT, Solution, prepare, solve
from mistcalc.line.route import Route, RouteTube
from mistcalc.line.zoning import OpenSet, Zoning
from mistcalc.model.project import Plumbing
from mistcalc.model.results import LineTube, WaterState
from mistcalc.physics import pipe


@dataclass(frozen=True, eq=False)
class SolvedSet:
    """A solved set of open zones over the whole route. Behind shut valves water stands, open to the air at
    its highest place. nozzle: (flow [m3/s], pressure [Pa], state) by node."""

    zones: tuple[str, ...]
    tubes: tuple[LineTube, ...]
    gauge: Mapping[str, float]
    nozzle: Mapping[str, tuple[float, float, int]]
    flow: float
    supply_gauge: float
    water: WaterState
    solution: Solution


def solve_set(plumbing: Plumbing, route: Route, whole: Network, zoning: Zoning, one: OpenSet) -> SolvedSet:
    """Solve the line with the valves of `one` open and only the nozzles of its zones running."""
    open_tube = np.array([n not in one.shut for n in range(len(route.tubes))], bool)
    served = joined_to_supply(whole, open_tube)
    flowing = open_tube & served[whole.start]
    running = np.array([zoning.zone_of[m.run] in one.zones for m in route.marks.values()], bool)
    running &= served[whole.nozzle_node]
    found = solve(prepare(part_of(whole, served, flowing, running)))
    state = water_at(plumbing.water.temperature)
    gauge = _standing(whole, open_tube, state.density)
    gauge[served] = found.node_gauge
    flow, loss, minor = np.zeros(len(route.tubes)), np.zeros(len(route.tubes)), np.array(whole.minor_k, float)
    flow[flowing], loss[flowing], minor[flowing] = found.tube_flow, found.tube_loss, found.minor_k
    valves: dict[int, list[str]] = {}
    for zone, tubes in zoning.valves.items():
        for n in tubes:
            valves.setdefault(n, []).append(zone)
    told = {int(n): i for i, n in enumerate(np.flatnonzero(running))}
    rows = [
        (
            float(found.nozzle_flow[told[n]]),
            float(found.nozzle_gauge[told[n]]),
            int(found.nozzle_state[told[n]]),
        )
        if n in told
        else (0.0, float(gauge[node]), SHUT)
        for n, node in enumerate(whole.nozzle_node.tolist())
    ]
    return SolvedSet(
        one.zones,
        tuple(
            _tube(
                tube, float(flow[n]), float(loss[n]), float(minor[n]), tuple(valves.get(n, ())), n in one.shut
            )
            for n, tube in enumerate(route.tubes)
        ),
        dict(zip(route.elevation, gauge.tolist(), strict=True)),
        dict(zip(route.marks, rows, strict=True)),
        float(found.nozzle_flow.sum()),
        found.supply_gauge,
        state,
        found,
    )


def _standing(whole: Network, open_tube: np.ndarray, density: float) -> np.ndarray:
    """Pressure [Pa gauge] at each node of water that stands behind shut valves."""
    top = np.array(whole.elevation, float)
    for _ in range(top.size):  # the highest place of all that hangs together, handed from node to node
        higher = np.maximum(top[whole.start[open_tube]], top[whole.end[open_tube]])
        before = top.copy()
        np.maximum.at(top, whole.start[open_tube], higher)
        np.maximum.at(top, whole.end[open_tube], higher)
        if np.array_equal(before, top):
            break
    return np.asarray(density * pipe.GRAVITY * (top - whole.elevation), float)


def _tube(
    tube: RouteTube, flow: float, loss: float, minor_k: float, valves: tuple[str, ...], shut: bool
) -> LineTube:
    bore = tube.tube.bore
    return LineTube(
        start=tube.start,
        end=tube.end,
        length=tube.length,
        bore=bore,
        roughness=pipe.DRAWN_ROUGHNESS,
        flow=flow,
        speed=flow / (np.pi / 4.0 * bore**2),
        loss=loss,
        minor_k=minor_k,
        run=tube.run,
        tube=tube.tube,
        temperature=tube.temperature,
        one_way=tube.one_way,
        opens_at=tube.opens_at,
        valves=valves,
        shut=shut,
    )
