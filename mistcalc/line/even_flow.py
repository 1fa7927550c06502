"""How evenly the nozzles are served, and a second opinion on the loss along a run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from mistcalc.model.results import LineTube, WaterState
from mistcalc.physics import pipe


def uniformity(flows: Sequence[float]) -> tuple[float, float, float]:
    """(spread 1 - qmin/qmax, CU, DU) of nozzle flows; (0, 1, 1) for none.

    CU = 1 - mean |q - mean| / mean (Christiansen 1942); DU = mean of the lowest quarter over the mean
    (Merriam and Keller 1978). Flows that are all nothing count as even.
    """
    q = np.sort(np.asarray(flows, float))
    if q.size == 0 or q[-1] <= 0.0:
        return 0.0, 1.0, 1.0
    mean = float(q.mean())
    quarter = q[: max(1, -(-q.size // 4))]
    spread, cu = 1.0 - float(q[0] / q[-1]), 1.0 - float(np.mean(np.abs(q - mean))) / mean
    return spread, cu, float(quarter.mean()) / mean


def hand_check(
    flow: float, outlets: int, spacing: float, beyond: float, bore: float, density: float, viscosity: float
) -> float:
    """Pressure [Pa] lost along a run by Christiansen's factor: a second opinion beside the solver's answer.

    `flow` [m3/s] enters the run, whose `outlets` equal nozzles stand `spacing` [m] apart, the first one
    spacing in; `beyond` [m3/s] leaves it at the end for tube further on, and counts as so many more nozzles:
    the loss is that of the longer line less that of what lies beyond.
    """
    if outlets < 1 or flow <= beyond:
        return 0.0
    each = (flow - beyond) / outlets
    return _even_line(each, outlets + beyond / each, spacing, bore, density, viscosity) - _even_line(
        each, beyond / each, spacing, bore, density, viscosity
    )


def _even_line(
    each: float, outlets: float, spacing: float, bore: float, density: float, viscosity: float
) -> float:
    """Loss [Pa] of a dead end of equal outlets, with Colebrook's friction as the `fluids` library solves it:
    nothing here but the fittings' loss is shared with the solver that this stands beside."""
    from fluids.friction import friction_factor  # here, for it takes half a second to load

    if outlets < 1.0:
        return 0.0
    flow, nozzle = each * outlets, pipe.fitting("nozzle")
    re, roughness = float(pipe.reynolds(flow, bore, viscosity / density)), pipe.DRAWN_ROUGHNESS / bore
    friction, further = (friction_factor(Re=x, eD=roughness) for x in (re, 1.01 * re))
    speed = flow / (np.pi / 4 * bore**2)
    heads = friction * outlets * spacing / bore + outlets * (nozzle.k + nozzle.laminar / re)
    slope = np.log(further / friction) / np.log(1.01)
    exponent = min(max(2.0 + slope, 1.0), 2.0)  # of flow, at the inlet
    return float(pipe.multi_outlet_factor(outlets, exponent) * heads * density * speed**2 / 2)


def hand_check_of(
    tubes: Sequence[LineTube], gauge: Mapping[str, float], marks: set[str], water: WaterState
) -> tuple[float, float]:
    """Loss [Pa] along the run that loses most, by Christiansen's factor and by the solver.

    tubes: of the runs looked at. gauge: pressure [Pa] of every node. marks: nodes with a nozzle that runs.
    """
    runs: dict[str, list[LineTube]] = {}
    for tube in tubes:
        runs.setdefault(tube.run, []).append(tube)
    pairs = [_along(along, gauge, marks, water.density, water.viscosity) for along in runs.values()]
    return max(pairs, key=lambda pair: pair[1], default=(0.0, 0.0))


def _along(
    tubes: Sequence[LineTube], gauge: Mapping[str, float], marks: set[str], density: float, viscosity: float
) -> tuple[float, float]:
    """The two losses of one run, from where its water comes in to its last nozzle that water reaches."""
    forward = max(tubes, key=lambda tube: abs(tube.flow)).flow >= 0.0
    sign = 1.0 if forward else -1.0
    walked = tubes if forward else tubes[::-1]
    reached = [(t, sign * t.flow, t.end if forward else t.start) for t in walked if sign * t.flow > 0.0]
    outlets = [i for i, (_, _, name) in enumerate(reached) if name in marks]
    if not outlets:
        return 0.0, 0.0
    last, first = outlets[-1], reached[0][0].start if forward else reached[0][0].end
    beyond = reached[last + 1][1] if last + 1 < len(reached) else 0.0
    spacing = sum(t.length for t, _, _ in reached[: last + 1]) / len(outlets)
    hand = hand_check(reached[0][1], len(outlets), spacing, beyond, reached[0][0].bore, density, viscosity)
    return hand, gauge[first] - gauge[reached[last][2]]
