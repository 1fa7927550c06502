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
from mistcalc.line.network import elements
from mistcalc.line.network.arrays import Floats, Ints, Network, checked, numbering
from mistcalc.line.network.elements import FLOW_TOLERANCE, PRESSURE_TOLERANCE, Laws
from mistcalc.physics.nozzle import FULL_OPEN

SHUT, PART_OPEN, OPEN = 0, 1, 2
STATES = ("shut", "part open", "open")

_FASTEST = 2.0  # m/s
# share added to a matrix's diagonal: steps are a little short, what closes is the same
FIRMER = (1e-12, 1e-9)
ATTEMPTS = ((20, 0.25), (40, 0.75))  # steps, and the factor a step shrinks the ramp by


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


class _Band(NamedTuple):
    """Where each element's share goes in the banded matrix and its right-hand side."""

    place: Ints  # [node] row of the node after renumbering
    width: int
    start: Ints  # [element] row; the open air comes after the last
    end: Ints
    entries: Ints  # flat positions of element starts, ends and couplings; those of the air after the last


class _State(NamedTuple):
    gauge: Floats  # [row], and the open air's 0
    flow: Floats  # [element]


class Prepared(NamedTuple):
    """A checked and renumbered network; solve it as often as wanted."""

    network: Network
    laws: Laws
    band: _Band
    first: _State  # to start from


class _Residuals(NamedTuple):
    """How far a state is from closing, and the slopes for the next step."""

    drop: Floats  # [element] pressure lost by its law
    element: Floats  # [element] error of its law
    slope: Floats
    balance: Floats  # [row] inflow less outflow
    pressure: float  # largest of the element errors
    flow: float  # largest of balance and of what shut nozzles pass backward
    done: bool


def solve(network: Network | Prepared) -> Solution:
    """Flows and pressures of the whole line.

    Raises ConvergenceError naming the worst node if 60 steps do not close it, and MistcalcError for a
    network that is none (a node nothing reaches, a bore of nothing, a supply curve that does not fall).
    Converged means: every element's law within 1e-9 of supply pressure, every node's balance and every
    shut nozzle within 1e-6 of design flow (all nozzles at the supply's first pressure).
    """
    ready = network if isinstance(network, Prepared) else prepare(network)
    taken = 0
    for steps, factor in ATTEMPTS:
        state = ready.first
        for step in range(steps + 1):
            # A nozzle's slope vanishes with its pressure, so one that a step throws near zero would be
            # thrown far out again by the next. Its first steps follow a gentle ramp, made short in time.
            ramp = elements.FIRST_RAMP * factor**step
            laws = elements.eased(ready.laws, ramp, _nozzles(ready, state.flow))
            now = _residuals(ready, laws, state)
            if now.done and elements.on_least_ramp(laws, ready.laws, _nozzles(ready, state.flow)):
                return _solution(ready, state, now, taken)
            if step < steps:
                state = _step(ready, state, now)
                taken += 1
    where, size, unit = _worst(ready, state, now)
    raise ConvergenceError(where, size, unit, taken)


def prepare(network: Network) -> Prepared:
    """Check a network, number its nodes for a narrow band and work out its element laws."""
    network = checked(network)
    laws, band = elements.laws(network), _band(network)
    return Prepared(network, laws, band, _first_guess(network, laws, band))


def _nozzles(ready: Prepared, values: Floats) -> Floats:
    """The nozzles' part of a value an element."""
    return values[ready.network.start.size : -1]


def _first_guess(net: Network, laws: Laws, band: _Band) -> _State:
    """The supply's first pressure everywhere and what the nozzles take at it, or what there is, shared among
    the tubes as laminar flow would be, which saves a ring two steps in five; none much faster than it will
    be (`elements.first_flow` says why)."""
    tubes = net.start.size
    gauge = np.full(net.elevation.size + 1, laws.pressure_scale)
    gauge[-1] = 0.0
    flow = np.empty(band.start.size)
    elements.first_flow(laws, flow)
    taken = np.zeros_like(flow)
    taken[tubes:-1] = flow[tubes:-1] * min(1.0, float(net.supply_flow[-1] / laws.flow_scale))
    give = np.zeros_like(flow)
    give[:tubes] = 1.0 / (laws.tube.laminar + laws.least_slope)
    give[-1] = give.max()
    level, failed = _levels(band, tubes, give, _inflow(band, taken, net.elevation.size))
    if not failed:
        shared = give * (level[band.start] - level[band.end])
        flow[:tubes] = np.clip(shared[:tubes], -_FASTEST * laws.brisk, _FASTEST * laws.brisk)
    return _State(gauge, flow)


def _inflow(band: _Band, flow: Floats, rows: int) -> Floats:
    """Net inflow of each row."""
    arrived = np.bincount(band.end, flow, rows + 1)
    return np.asarray((arrived - np.bincount(band.start, flow, rows + 1))[:rows], float)


def _residuals(ready: Prepared, laws: Laws, state: _State) -> _Residuals:
    band, rows = ready.band, state.gauge.size - 1
    drop, slope = elements.drop_and_slope(laws, state.flow)
    element = drop - (state.gauge[band.start] - state.gauge[band.end])
    balance = _inflow(band, state.flow, rows)
    pressure = float(np.abs(element).max())
    backward = -float(_nozzles(ready, state.flow).min(initial=0.0))
    flow = max(float(np.abs(balance).max()), backward)
    done = pressure <= PRESSURE_TOLERANCE * laws.pressure_scale and flow <= FLOW_TOLERANCE * laws.flow_scale
    return _Residuals(drop, element, slope, balance, pressure, flow, bool(done))


def _worst(ready: Prepared, state: _State, now: _Residuals) -> tuple[str, float, str]:
    """Name of the node that is worst against its tolerance, by how much, and in which unit."""
    net, laws = ready.network, ready.laws
    if now.pressure * FLOW_TOLERANCE * laws.flow_scale >= now.flow * PRESSURE_TOLERANCE * laws.pressure_scale:
        nodes = np.concatenate((net.end, net.nozzle_node, (net.supply_node,)))
        sizes, unit = np.abs(now.element), "Pa"
    else:
        nodes = np.concatenate((np.arange(net.elevation.size), net.nozzle_node))
        backward = np.maximum(-_nozzles(ready, state.flow), 0.0)
        sizes, unit = np.concatenate((np.abs(now.balance[ready.band.place]), backward)), "m3/s"
    at = int(np.argmax(sizes))
    return net.name(int(nodes[at])), float(sizes[at]), unit


def _step(ready: Prepared, state: _State, now: _Residuals) -> _State:
    """One Newton step, in corrections (not in pressures: their rounding would show in short tubes)."""
    band, rows = ready.band, state.gauge.size - 1
    give = 1.0 / now.slope
    pull = give * now.element
    change, failed = _levels(band, ready.network.start.size, give, now.balance - _inflow(band, pull, rows))
    if failed:
        raise ConvergenceError(*_worst(ready, state, now), 0)
    flow_change = give * (change[band.start] - change[band.end]) - pull
    return _State(state.gauge + change, state.flow + flow_change)


def _levels(band: _Band, tubes: int, give: Floats, right: Floats) -> tuple[Floats, int]:
    """Value of each row, the open air's 0 last, for which the flows `give` times the difference along each
    element carry `right` [row] away; and not 0 if there is none."""
    rows, step = right.size, band.width + 1
    weights = np.concatenate((give, give, -give[:tubes]))
    matrix = np.bincount(band.entries, weights, (rows + 1) * step)[: rows * step].reshape(rows, step).T
    for firmer in (0.0, *FIRMER):  # a part behind shut valves alone hangs on rounding
        matrix[0] *= 1.0 + firmer
        _, level, failed = dpbsv(matrix, right, lower=1)
        if not failed:
            break
    return np.append(level, 0.0), failed


def _solution(ready: Prepared, state: _State, closed: _Residuals, steps: int) -> Solution:
    net, laws = ready.network, ready.laws
    gauge = state.gauge[ready.band.place]
    at_nozzle, opens = gauge[net.nozzle_node], laws.opens_at
    tube_flow, nozzle_flow = state.flow[: net.start.size], _nozzles(ready, state.flow)
    state_code = np.where(at_nozzle <= opens, SHUT, np.where(at_nozzle < FULL_OPEN * opens, PART_OPEN, OPEN))
    reynolds = np.maximum(np.abs(tube_flow) * laws.tube.reynolds_per_flow, 1.0)
    laminar = np.where(reynolds > 1.0, net.minor_laminar / reynolds, 0.0)  # in still water it means nothing
    return Solution(
        tube_flow=tube_flow,
        tube_loss=closed.drop[: net.start.size] - laws.rise - laws.least_slope * tube_flow,
        minor_k=np.asarray(net.minor_k + laminar, float),
        node_gauge=gauge,
        nozzle_flow=np.where(laws.plugged, 0.0, np.maximum(nozzle_flow, 0.0)),
        nozzle_gauge=at_nozzle,
        nozzle_state=state_code.astype(np.intp),
        supply_flow=float(state.flow[-1]),
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
    row = np.append(place, place.size)
    start, end = (row[node] for node in elements.element_ends(net))
    tubes = net.start.size
    low, high = np.minimum(start, end)[:tubes], np.maximum(start, end)[:tubes]
    width = int(np.max(high - low, initial=0))
    step = width + 1  # LAPACK's lower band, column by column: row i, column j at j (width + 1) + i - j
    entries = np.concatenate((start * step, end * step, low * step + high - low))
    return _Band(place, width, start, end, entries)
