"""One way the line may run: some valves open, the others shut, solved and told node by node."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mistcalc.line.network.arrays import Network, joined_to_supply, subnetwork
from mistcalc.line.network.solver import SHUT, Solution, prepare, solve
from mistcalc.line.piping.build_network import water_at
from mistcalc.line.piping.pipe_graph import Route, RouteTube
from mistcalc.line.piping.zone_valves import RunningZones, Zoning
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


def solve_set(
    plumbing: Plumbing, route: Route, whole: Network, zoning: Zoning, zones_open: RunningZones
) -> SolvedSet:
    """Solve the line with the valves of `one` open and only the nozzles of its zones running."""
    open_tube = np.array([n not in zones_open.shut for n in range(len(route.tubes))], bool)
    served = joined_to_supply(whole, open_tube)
    flowing = open_tube & served[whole.start]
    running = np.array([zoning.zone_of[m.run] in zones_open.zones for m in route.marks.values()], bool)
    running &= served[whole.nozzle_node]
    solution = solve(prepare(subnetwork(whole, served, flowing, running)))
    state = water_at(plumbing.water.temperature)
    gauge = _standing(whole, open_tube, state.density)
    gauge[served] = solution.node_gauge
    flow, loss, minor = np.zeros(len(route.tubes)), np.zeros(len(route.tubes)), np.array(whole.minor_k, float)
    flow[flowing], loss[flowing], minor[flowing] = solution.tube_flow, solution.tube_loss, solution.minor_k
    valves: dict[int, list[str]] = {}
    for zone, tubes in zoning.valves.items():
        for n in tubes:
            valves.setdefault(n, []).append(zone)
    row_of_nozzle = {int(n): i for i, n in enumerate(np.flatnonzero(running))}
    rows = [
        (
            float(solution.nozzle_flow[row_of_nozzle[n]]),
            float(solution.nozzle_gauge[row_of_nozzle[n]]),
            int(solution.nozzle_state[row_of_nozzle[n]]),
        )
        if n in row_of_nozzle
        else (0.0, float(gauge[node]), SHUT)
        for n, node in enumerate(whole.nozzle_node.tolist())
    ]
    return SolvedSet(
        zones_open.zones,
        tuple(
            _tube(
                tube,
                float(flow[n]),
                float(loss[n]),
                float(minor[n]),
                tuple(valves.get(n, ())),
                n in zones_open.shut,
            )
            for n, tube in enumerate(route.tubes)
        ),
        dict(zip(route.elevation, gauge.tolist(), strict=True)),
        dict(zip(route.marks, rows, strict=True)),
        float(solution.nozzle_flow.sum()),
        solution.supply_gauge,
        state,
        solution,
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
        most_flow=abs(flow),
    )
