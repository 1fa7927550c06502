"""Thousands of variants of one line solved at once: nozzles plugged, bores changed, a weak supply, a leak.

The elements' laws and Newton's method are those of the single solve; the linear part is `elimination`, with
variants on the last axis. They are taken in chunks small enough to stay near the processor.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mistcalc.errors import ConvergenceError, MistcalcError
from mistcalc.line.network import elements, sparse_elimination
from mistcalc.line.network.arrays import LIMITS, Floats, Ints, Network, relations, sizes
from mistcalc.line.network.elements import FLOW_TOLERANCE, PRESSURE_TOLERANCE, Laws
from mistcalc.line.network.solver import ATTEMPTS, Prepared, Solution, prepare, solve
from mistcalc.line.network.sparse_elimination import Pattern

MAY_CHANGE = tuple(field for field in LIMITS if field not in ("elevation", "check_opens_at"))
_CHUNK = 1024
_KEPT = 2**21
_WORTH = 0.75  # share of a chunk still open below which those that are done are left behind
_NEARBY = 8  # steps from the unchanged line's solution before a variant starts afresh


@dataclass(frozen=True, eq=False)
class Batch:
    """Flows [m3/s] and pressures [Pa gauge] of every variant, on the last axis.

    Where `converged` is false there is no answer and every number of that variant is NaN; `residuals`
    holds its largest error against its tolerance (at most 1 where it converged, inf for a variant that
    is no network: a bore of nothing, a supply that does not fall). iterations [variant] counts steps.
    """

    tube_flow: Floats
    node_gauge: Floats
    nozzle_flow: Floats
    nozzle_gauge: Floats
    supply_flow: Floats
    supply_gauge: Floats
    iterations: Ints
    converged: NDArray[np.bool_]
    residuals: Floats


def solve_many(network: Network, **changed: ArrayLike) -> Batch:
    """Flows and pressures of many variants of one line, all of the same shape.

    Each keyword is a field of Network that differs between variants (MAY_CHANGE), shaped [element, variant]
    where element is a nozzle, tube or point of the supply's curve. [1, variant] gives all elements the same;
    [element], [element, 1] or a scalar gives all variants the same. Without any there is one variant. A leak
    is one more nozzle (exponent 0.5, opens_at 0) with a coefficient a variant; coefficient 0 passes nothing.

    One bad variant never stops the others: see Batch.converged. Raises MistcalcError for a network that is
    none or a shape that does not fit ("network-shape"), TypeError for a keyword that may not change.
    Converged means what it does in `solver.solve`.
    """
    ready = prepare(network)
    net = ready.network
    many, count = _many(net, changed)
    pattern = sparse_elimination.pattern(net.elevation.size, *elements.element_ends(net))
    solution = _Found(
        gauge=np.full((pattern.nodes, count), np.nan),
        flow=np.full((pattern.start.size, count), np.nan),
        iterations=np.zeros(count, np.intp),
        residuals=np.full(count, np.inf),
        converged=np.zeros(count, bool),
    )
    # Freed at once: glibc then keeps memory of this size for the next array instead of handing each one back
    # and having it cleared again, a third of the time of a chunk.
    np.empty(_KEPT)
    left = np.nonzero(_sound(many, count))[0]
    for attempt in _attempts(ready):
        for first in range(0, left.size, _CHUNK):
            chosen = left[first : first + _CHUNK]
            with np.errstate(all="ignore"):  # a variant that runs away is told by its residual
                _newton(pattern, elements.laws(_some(many, chosen)), attempt, chosen, solution)
        left = left[~solution.converged[left]]
    return _batch(net, many, solution)


class _Found(NamedTuple):
    """What is known of each variant so far; filled in as they converge."""

    gauge: Floats  # [node, variant]
    flow: Floats  # [element, variant]
    iterations: Ints
    residuals: Floats
    converged: NDArray[np.bool_]


class _Attempt(NamedTuple):
    """Up to `steps` steps from the solution of a line nearby, or from nowhere; each shrinks the nozzles'
    first ramp by `factor`."""

    steps: int
    factor: float
    near: Solution | None = None


def _attempts(ready: Prepared) -> list[_Attempt]:
    afresh = [_Attempt(*attempt) for attempt in ATTEMPTS]
    try:
        return [_Attempt(_NEARBY, 0.0, solve(ready)), *afresh]
    except ConvergenceError:
        return afresh


def _batch(net: Network, many: Network, solution: _Found) -> Batch:
    tubes, gauge = net.start.size, solution.gauge
    nozzle_flow = np.maximum(solution.flow[tubes:-1], 0.0)
    return Batch(
        tube_flow=solution.flow[:tubes],
        node_gauge=gauge,
        nozzle_flow=np.where(many.coefficient == 0.0, 0.0 * nozzle_flow, nozzle_flow),
        nozzle_gauge=gauge[net.nozzle_node],
        supply_flow=solution.flow[-1],
        supply_gauge=gauge[net.supply_node],
        iterations=solution.iterations,
        converged=solution.converged,
        residuals=solution.residuals,
    )


# ------------------------------------------------------------------ variants


def _many(net: Network, changed: Mapping[str, ArrayLike]) -> tuple[Network, int]:
    """The network with every value [element, variant or 1], or [1, variant or 1] where it is the same for all
    tubes, and the number of variants."""
    unknown = sorted(set(changed).difference(MAY_CHANGE))
    if unknown:
        raise TypeError(f"{unknown[0]!r} may not differ between variants; these may: {', '.join(MAY_CHANGE)}")
    size = sizes(net)
    values: dict[str, Floats] = {}
    for field, (kind, _, _) in LIMITS.items():
        value = np.asarray(changed.get(field, getattr(net, field)), float)
        if field not in changed and kind == "tube" and (value == value[:1]).all():
            value = value[:1]
        value = value[:, None] if value.ndim == 1 else np.atleast_2d(value)
        if value.ndim > 2 or value.shape[0] not in (1, size[kind]):
            raise MistcalcError("network-shape", field=field, size=value.shape[0], expected=size[kind])
        if kind != "tube":
            value = np.broadcast_to(value, (size[kind], value.shape[1]))
        values[field] = value
    count = max(value.shape[1] for value in values.values())
    for field, value in values.items():
        if value.shape[1] not in (1, count):
            raise MistcalcError("network-shape", field=field, size=value.shape[1], expected=count)
    return replace(net, **values), count  # type: ignore[arg-type]


def _sound(many: Network, count: int) -> NDArray[np.bool_]:
    """[variant] whether a variant is a network at all."""
    good = np.ones(count, bool)
    for field, (_, low, high) in LIMITS.items():
        value = getattr(many, field)
        good &= ((value >= low) & (value <= high)).all(axis=0)
    for _, held in relations(many):
        good &= held.all(axis=0)
    return good


def _some(many: Network, chosen: Ints) -> Network:
    """Only these variants."""
    values = {field: getattr(many, field) for field in LIMITS}
    return replace(many, **{f: v[:, chosen] for f, v in values.items() if v.shape[1] > 1})


# ------------------------------------------------------------------ Newton's method


def _guess(pattern: Pattern, laws: Laws, count: int, near: Solution | None) -> tuple[Floats, Floats]:
    """Pressures [node, variant], the open air's last, and flows [element, variant] to start from: pressures
    as in the line nearby and its tubes' flows in step with the nozzles', or the supply's first pressure
    everywhere."""
    gauge, flow = np.zeros((pattern.nodes + 1, count)), np.empty((pattern.start.size, count))
    tubes = laws.rise.shape[0]
    if near is None:
        gauge[:-1] = laws.pressure_scale
        elements.first_flow(laws, flow)
    else:
        gauge[:-1] = near.node_gauge[:, None]
        held = np.maximum(near.nozzle_gauge[:, None], elements.LEAST_RAMP * laws.pressure_scale)
        flow[tubes:-1] = elements.nozzle_flow(laws, held)
        taken = near.nozzle_flow.sum()
        share = flow[tubes:-1].sum(axis=0) / taken if taken > 0.0 else 1.0
        flow[:tubes], flow[-1] = near.tube_flow[:, None] * share, near.supply_flow * share
    return gauge, flow


def _newton(pattern: Pattern, true: Laws, attempt: _Attempt, chosen: Ints, solution: _Found) -> None:
    """One attempt at the chosen variants, whose laws these are; see `solver.solve`."""
    gauge, flow = _guess(pattern, true, chosen.size, attempt.near)
    nozzles, open_ = slice(true.rise.shape[0], -1), np.ones(chosen.size, bool)
    for step in range(attempt.steps + 1):
        ramp = elements.FIRST_RAMP * attempt.factor**step
        laws = elements.eased(true, ramp, flow[nozzles])
        error, slope = elements.drop_and_slope(laws, flow)
        error -= gauge[pattern.start]
        error += gauge[pattern.end]
        balance = pattern.inflow @ flow
        residual = _residual(true, error, balance, flow[nozzles])
        done = open_ & (residual <= 1.0)
        if laws is not true:
            done &= elements.on_least_ramp(laws, true, flow[nozzles])
        if done.any():
            at = chosen[done]
            solution.gauge[:, at], solution.flow[:, at], solution.converged[at] = (
                gauge[:-1, done],
                flow[:, done],
                True,
            )
        solution.residuals[chosen[open_]] = residual[open_]
        open_ &= ~done
        if step == attempt.steps or not open_.any():
            return
        if open_.mean() < _WORTH:
            chosen, true = chosen[open_], elements.select_variants(true, open_)
            gauge, flow, error, slope = (v[:, open_] for v in (gauge, flow, error, slope))
            open_ = np.ones(chosen.size, bool)
        solution.iterations[chosen[open_]] += 1
        give = np.reciprocal(slope, out=slope)
        pull = np.multiply(error, give, out=error)
        flow -= pull
        change = sparse_elimination.solve(pattern, give, pattern.inflow @ flow)
        gauge[:-1] += change
        change = np.concatenate((change, np.zeros_like(gauge[-1:])))  # the open air's stays 0
        give *= change[pattern.start] - change[pattern.end]
        flow += give


def _residual(laws: Laws, error: Floats, balance: Floats, nozzle: Floats) -> Floats:
    """[variant] largest error against its tolerance."""
    pressure = np.abs(error).max(axis=0) / (PRESSURE_TOLERANCE * laws.pressure_scale)
    astray = np.maximum(np.abs(balance).max(axis=0), -nozzle.min(axis=0, initial=0.0))
    return np.maximum(pressure, astray / (FLOW_TOLERANCE * laws.flow_scale))
