"""Flow and pressure in any network of tubes and nozzles on one supply: arrays in, arrays out.

Dead ends, branches and closed rings are the same to it. Each element's law is written as pressure of
flow; Newton's method works on all flows and pressures together (Todini and Pilati's global gradient
algorithm, 1988), flows are eliminated and one symmetric positive matrix of node pressures is left,
banded once the nodes are numbered well. Nozzles inside the matrix as *flow of pressure* would
make one network in seven fail: a nozzle's flow is too steep where its pressure vanishes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.linalg.lapack import dpbsv

from mistcalc.errors import ConvergenceError
from mistcalc.line.arrays import Floats, Ints, Network, checked, numbering
from mistcalc.physics import pipe

FULL_OPEN = 1.2  # a check valve is wide open at this many times its opening pressure
SHUT, PART_OPEN, OPEN = 0, 1, 2
STATES = ("shut", "part open", "open")

PRESSURE_TOLERANCE = 1e-9  # of supply pressure
FLOW_TOLERANCE = 1e-6  # of design flow
_LEAK = 1e-9  # of design flow: what a shut nozzle passes backward at full supply pressure
_LEAST_RAMP = 1e-4  # of supply pressure: below it a nozzle without a check follows a straight ramp
_FIRST_RAMP = 0.3  # the same while the first steps are taken, then shrunk
_ATTEMPTS = ((20, 0.5), (40, 0.75))  # steps, and the factor a step shrinks the ramp by
_LEAST_SLOPE = 1e-9  # of supply pressure over design flow: keeps a tube of no length solvable


@dataclass(frozen=True, eq=False)
class Solution:
    """All flows [m3/s], pressures [Pa gauge] and how well they close.

    nozzle_state holds SHUT (at or below its opening pressure), PART_OPEN (below 1.2 times it) or OPEN.
    minor_k is the fittings' loss at this flow, k + K1/Re, in velocity heads. pressure_residual is the
    largest error of any element's law, flow_residual of any node's balance; worst_node names where the
    solution is worst against its tolerance.
    """

    tube_flow: Floats
    tube_loss: Floats
    minor_k: Floats
    node_gauge: Floats
    nozzle_flow: Floats
    nozzle_gauge: Floats
    nozzle_state: Ints
    supply_flow: float
    supply_gauge: float
    pressure_residual: float
    flow_residual: float
    worst_node: str
    iterations: int


class _Laws(NamedTuple):
    """Element laws with everything that does not change during a solve worked out."""

    tube: pipe.TubeLaw
    least_slope: float
    rise: Floats  # Pa, static pressure from start up to end
    coefficient: Floats
    exponent: Floats
    opens_at: Floats
    ramp_flow: Floats  # at which the nozzle is wide open
    ramp_slope: Floats
    shut_slope: float
    supply_flow: Floats
    supply_gauge: Floats
    supply_slope: Floats
    pressure_scale: float
    flow_scale: float


class _Band(NamedTuple):
    """Where each element's share goes in the banded matrix and its right-hand side."""

    place: Ints  # [node] row of the node after renumbering
    width: int
    entries: Ints  # flat positions: tube starts, tube ends, tube couplings, nozzles, supply
    rows: Ints  # right-hand side: tube starts, tube ends, nozzles, supply


class Prepared(NamedTuple):
    """A checked and renumbered network; solve it as often as wanted."""

    network: Network
    laws: _Laws
    band: _Band


class _State(NamedTuple):
    gauge: Floats  # [row]
    tube: Floats
    nozzle: Floats
    supply: float


def solve(network: Network | Prepared) -> Solution:
    """Flows and pressures of the whole line.

    Raises ConvergenceError naming the worst node if 60 steps do not close it, and MistcalcError for a
    network that is none (a node nothing reaches, a bore of nothing, a supply curve that does not fall).
    Converged means: every element's law within 1e-9 of supply pressure, every node's balance and every
    shut nozzle within 1e-6 of design flow (all nozzles at the supply's first pressure).
    """
    ready = network if isinstance(network, Prepared) else prepare(network)
    taken = 0
    for steps, factor in _ATTEMPTS:
        state = _first_guess(ready)
        for step in range(steps + 1):
            # A nozzle's slope vanishes with its pressure, so one that a step throws near zero would be
            # thrown far out again by the next. Its first steps follow a gentle ramp, made short in time.
            ramp = _FIRST_RAMP * factor**step
            laws = ready.laws if ramp <= _LEAST_RAMP else _ramped(ready.laws, ramp)
            now = _residuals(ready, laws, state)
            if now.done and _same_here(laws, ready.laws, state.nozzle):
                return _solution(ready, state, now, taken)
            if step < steps:
                state = _step(ready, state, now)
                taken += 1
    where, size, unit = _worst(ready, state, now)
    raise ConvergenceError(where, size, unit, taken)


def prepare(network: Network) -> Prepared:
    """Check a network, number its nodes for a narrow band and work out its element laws."""
    network = checked(network)
    return Prepared(network, _laws(network), _band(network))


# ------------------------------------------------------------------ element laws


def _laws(net: Network) -> _Laws:
    scale = float(net.supply_gauge[0])
    design = float(np.sum(net.coefficient * scale**net.exponent)) or float(net.supply_flow[-1])
    rise = net.density * net.gravity * (net.elevation[net.end] - net.elevation[net.start])
    laws = _Laws(
        tube=pipe.tube_law(
            net.length,
            net.bore,
            net.roughness,
            net.density,
            net.viscosity,
            net.minor_k,
            net.minor_laminar,
            net.friction,
        ),
        least_slope=_LEAST_SLOPE * scale / design,
        rise=np.asarray(rise, float),
        coefficient=net.coefficient,
        exponent=np.asarray(net.exponent, float),
        opens_at=np.asarray(net.opens_at, float),
        ramp_flow=net.coefficient,  # and the next, set below
        ramp_slope=net.coefficient,
        shut_slope=scale / (_LEAK * design),
        supply_flow=net.supply_flow,
        supply_gauge=net.supply_gauge,
        supply_slope=np.diff(net.supply_gauge) / np.diff(net.supply_flow),
        pressure_scale=scale,
        flow_scale=design,
    )
    return _ramped(laws, _LEAST_RAMP)


def _ramped(laws: _Laws, least: float) -> _Laws:
    """The same laws, nozzles opening along a straight ramp up to at least this share of supply pressure."""
    wide = np.maximum(FULL_OPEN * laws.opens_at, max(least, _LEAST_RAMP) * laws.pressure_scale)
    flow = laws.coefficient * wide**laws.exponent
    return laws._replace(ramp_flow=flow, ramp_slope=(wide - laws.opens_at) / flow)


def _same_here(laws: _Laws, others: _Laws, flow: Floats) -> bool:
    """Both give these flows the same pressures: no nozzle is on a ramp that is longer in one of them."""
    on_ramp = (flow > 0.0) & (flow < laws.ramp_flow)
    return not np.any(on_ramp & (laws.ramp_flow > others.ramp_flow))


def _tube(laws: _Laws, flow: Floats) -> tuple[Floats, Floats]:
    """Pressure lost along tubes and its slope."""
    loss, slope = pipe.loss_and_slope(laws.tube, flow)
    return loss + laws.least_slope * flow, slope + laws.least_slope


def _nozzle(laws: _Laws, flow: Floats) -> tuple[Floats, Floats]:
    """Pressure behind nozzles that pass `flow`, and its slope.

    Wide open P = (q/k)^(1/x); with a check a straight ramp from the opening pressure up to there (a
    check that snapped open could leave no solution); against backward flow a very steep line.
    """
    open_flow = np.maximum(flow, laws.ramp_flow)
    wide = (open_flow / laws.coefficient) ** (1.0 / laws.exponent)
    ramp = laws.opens_at + laws.ramp_slope * flow
    shut = laws.opens_at + laws.shut_slope * flow
    is_open, is_shut = flow > laws.ramp_flow, flow < 0.0
    gauge = np.where(is_open, wide, np.where(is_shut, shut, ramp))
    slope = np.where(
        is_open, wide / (laws.exponent * open_flow), np.where(is_shut, laws.shut_slope, laws.ramp_slope)
    )
    return gauge, slope


def _supply(laws: _Laws, flow: float) -> tuple[float, float]:
    """Pressure the supply holds at `flow`, and its slope (falling)."""
    piece = int(np.searchsorted(laws.supply_flow[1:-1], flow))
    slope = float(laws.supply_slope[piece])
    return float(laws.supply_gauge[piece]) + slope * (flow - float(laws.supply_flow[piece])), slope


# ------------------------------------------------------------------ Newton's method


class _Residuals(NamedTuple):
    """How far a state is from closing, and the slopes for the next step."""

    tube: Floats
    nozzle: Floats
    supply: float
    tube_slope: Floats
    nozzle_slope: Floats
    supply_slope: float
    balance: Floats  # [row] inflow less outflow
    pressure: float  # largest of the first three
    flow: float  # largest of balance and of what shut nozzles pass backward
    done: bool


def _first_guess(ready: Prepared) -> _State:
    """Every nozzle at the supply's first pressure; tubes at their share of a brisk flow."""
    laws, net = ready.laws, ready.network
    nozzle = laws.coefficient * laws.pressure_scale**laws.exponent
    total = min(laws.flow_scale, float(laws.supply_flow[-1]))
    gauge = np.full(net.elevation.size, laws.pressure_scale)
    return _State(gauge, np.full(net.start.size, total), nozzle, total)


def _residuals(ready: Prepared, laws: _Laws, state: _State) -> _Residuals:
    net, band = ready.network, ready.band
    gauge = state.gauge[band.place]
    loss, tube_slope = _tube(laws, state.tube)
    tube = laws.rise + loss - (gauge[net.start] - gauge[net.end])
    held, nozzle_slope = _nozzle(laws, state.nozzle)
    nozzle = held - gauge[net.nozzle_node]
    supplied, supply_slope = _supply(laws, state.supply)
    supply = supplied - float(gauge[net.supply_node])
    flows = np.concatenate((-state.tube, state.tube, -state.nozzle, (state.supply,)))
    balance = np.asarray(np.bincount(band.rows, flows, gauge.size), float)

    pressure = max(float(np.abs(tube).max(initial=0.0)), float(np.abs(nozzle).max(initial=0.0)), abs(supply))
    backward = -float(state.nozzle.min(initial=0.0))
    flow = max(float(np.abs(balance).max()), backward)
    done = pressure <= PRESSURE_TOLERANCE * laws.pressure_scale and flow <= FLOW_TOLERANCE * laws.flow_scale
    slopes = tube_slope, nozzle_slope, supply_slope
    return _Residuals(tube, nozzle, supply, *slopes, balance, pressure, flow, done)


def _worst(ready: Prepared, state: _State, now: _Residuals) -> tuple[str, float, str]:
    """Name of the node that is worst against its tolerance, by how much, and in which unit."""
    net, laws = ready.network, ready.laws
    supply_node = np.array([net.supply_node], np.intp)
    if now.pressure * FLOW_TOLERANCE * laws.flow_scale >= now.flow * PRESSURE_TOLERANCE * laws.pressure_scale:
        nodes = np.concatenate((net.end, net.nozzle_node, supply_node))
        sizes = np.abs(np.concatenate((now.tube, now.nozzle, (now.supply,))))
        unit = "Pa"
    else:
        nodes = np.concatenate((np.arange(net.elevation.size, dtype=np.intp), net.nozzle_node))
        sizes = np.concatenate((np.abs(now.balance[ready.band.place]), np.maximum(-state.nozzle, 0.0)))
        unit = "m3/s"
    at = int(np.argmax(sizes))
    return net.name(int(nodes[at])), float(sizes[at]), unit


def _step(ready: Prepared, state: _State, now: _Residuals) -> _State:
    """One Newton step, in corrections (not in pressures: their rounding would show in short tubes)."""
    net, band = ready.network, ready.band
    tube_give, nozzle_give = 1.0 / now.tube_slope, 1.0 / now.nozzle_slope
    supply_give = -1.0 / now.supply_slope
    weights = np.concatenate((tube_give, tube_give, -tube_give, nozzle_give, (supply_give,)))
    size = net.elevation.size
    matrix = np.bincount(band.entries, weights, size * (band.width + 1)).reshape(size, band.width + 1).T
    pull = tube_give * now.tube
    flows = np.concatenate((pull, -pull, nozzle_give * now.nozzle, (supply_give * now.supply,)))
    _, change, failed = dpbsv(matrix, now.balance + np.bincount(band.rows, flows, size), lower=1)
    if failed:
        raise ConvergenceError(*_worst(ready, state, now), 0)
    rise = change[band.place]
    tube = tube_give * (rise[net.start] - rise[net.end]) - pull
    nozzle = nozzle_give * (rise[net.nozzle_node] - now.nozzle)
    supply = supply_give * (now.supply - float(rise[net.supply_node]))
    return _State(
        state.gauge + change,
        state.tube + tube,
        state.nozzle + nozzle,
        state.supply + supply,
    )


def _solution(ready: Prepared, state: _State, closed: _Residuals, steps: int) -> Solution:
    net, laws = ready.network, ready.laws
    gauge = state.gauge[ready.band.place]
    at_nozzle = gauge[net.nozzle_node]
    opens = np.asarray(laws.opens_at, float)
    state_code = np.where(at_nozzle <= opens, SHUT, np.where(at_nozzle < FULL_OPEN * opens, PART_OPEN, OPEN))
    reynolds = np.maximum(np.abs(state.tube) * laws.tube.reynolds_per_flow, 1.0)
    laminar = np.where(reynolds > 1.0, net.minor_laminar / reynolds, 0.0)  # in still water it means nothing
    return Solution(
        tube_flow=state.tube,
        tube_loss=pipe.loss_and_slope(laws.tube, state.tube)[0],
        minor_k=np.asarray(net.minor_k + laminar, float),
        node_gauge=gauge,
        nozzle_flow=np.maximum(state.nozzle, 0.0),
        nozzle_gauge=at_nozzle,
        nozzle_state=state_code.astype(np.intp),
        supply_flow=float(state.supply),
        supply_gauge=float(gauge[net.supply_node]),
        pressure_residual=closed.pressure,
        flow_residual=closed.flow,
        worst_node=_worst(ready, state, closed)[0],
        iterations=steps,
    )


def _band(net: Network) -> _Band:
    """Reverse Cuthill-McKee numbering: breadth first from an end of the line, so that joined nodes get
    near numbers and the matrix is a narrow band (1 for a dead end, 2 for a ring)."""
    place = numbering(net)
    start, end = place[net.start], place[net.end]
    low, high = np.minimum(start, end), np.maximum(start, end)
    width = int(np.max(high - low, initial=0))
    step = width + 1  # LAPACK's lower band, column by column: row i, column j at j (width + 1) + i - j
    nozzle, supply = place[net.nozzle_node], place[net.supply_node]
    entries = np.concatenate(
        (start * step, end * step, low * step + high - low, nozzle * step, (supply * step,))
    )
    rows = np.concatenate((start, end, nozzle, (supply,)))
    return _Band(place, width, entries, rows)
