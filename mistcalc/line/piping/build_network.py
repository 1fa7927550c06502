"""The routed line as arrays for the solver: bores, fittings, nozzles and the water in each tube."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from mistcalc.line.network.arrays import NO_CHECK, Network
from mistcalc.line.network.supply_curve import Curve
from mistcalc.line.piping.pipe_graph import Route, RouteTube
from mistcalc.model.project import Nozzle, Plumbing
from mistcalc.model.results import WaterState
from mistcalc.physics import pipe, water
from mistcalc.physics.nozzle import opened


@lru_cache(maxsize=64)
def water_at(temperature: float) -> WaterState:
    """Water as the network is solved with [K]."""
    return WaterState(temperature, float(water.density(temperature)), float(water.viscosity(temperature)))


def coefficient(nozzle: Nozzle) -> float:
    """k of q = k P^x, SI, from the flow stated at one pressure."""
    return nozzle.flow / nozzle.at**nozzle.exponent


def nozzles_of(plumbing: Plumbing, route: Route) -> dict[str, Nozzle]:
    """The nozzle at each mark's node."""
    return {node: plumbing.nozzle_at(mark.run, mark.name) for node, mark in route.marks.items()}


def network_of(plumbing: Plumbing, route: Route, supply: Curve) -> Network:
    """The whole line, every nozzle in it."""
    index = {name: i for i, name in enumerate(route.elevation)}
    losses = np.array([_losses(tube) for tube in route.tubes]).reshape(-1, 2)
    states = {warmth: water_at(warmth) for warmth in {t.temperature for t in route.tubes}}
    waters = [states[t.temperature] for t in route.tubes]
    nozzles = list(nozzles_of(plumbing, route).values())
    return Network(
        elevation=np.array(list(route.elevation.values())),
        start=np.array([index[t.start] for t in route.tubes], np.intp),
        end=np.array([index[t.end] for t in route.tubes], np.intp),
        length=np.array([t.length for t in route.tubes]),
        bore=np.array([t.tube.bore for t in route.tubes]),
        minor_k=losses[:, 0],
        minor_laminar=losses[:, 1],
        nozzle_node=np.array([index[name] for name in route.marks], np.intp),
        coefficient=np.array([coefficient(nozzle) for nozzle in nozzles]),
        exponent=np.array([nozzle.exponent for nozzle in nozzles]),
        opens_at=np.array([nozzle.opens_at or 0.0 for nozzle in nozzles]),
        check_opens_at=np.array([t.opens_at if t.one_way else NO_CHECK for t in route.tubes]),
        supply_node=index[route.source],
        supply_flow=np.array([flow for flow, _ in supply]),
        supply_gauge=np.array([gauge for _, gauge in supply]),
        density=np.array([state.density for state in waters]),
        viscosity=np.array([state.viscosity for state in waters]),
        names=tuple(route.elevation),
    )


def demand(nozzles: Sequence[Nozzle], gauge: float) -> float:
    """Flow [m3/s] of nozzles at one pressure [Pa]; a check that is shut there lets nothing through."""
    of_each = {
        nozzle: coefficient(nozzle) * gauge**nozzle.exponent * float(opened(gauge, nozzle.opens_at or 0.0))
        for nozzle in set(nozzles)
    }
    return sum(of_each[nozzle] for nozzle in nozzles)


def _losses(tube: RouteTube) -> tuple[float, float]:
    losses = [pipe.fitting(kind) for kind in tube.fittings]
    return sum(f.k for f in losses), sum(f.laminar for f in losses)
