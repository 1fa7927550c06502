"""The laws of a line's elements, each as pressure of flow: one set for the single and the batched solve.

Elements are tubes, nozzles and the supply, in this order, each from a node to a node: nozzles end in the
open air and the supply starts there, at no gauge pressure. Arrays are [element] for one line or [element,
variant] for many; whatever does not vary may have one column, and what is the same for all tubes one row.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from mistcalc.line.network.arrays import Floats, Ints, Network
from mistcalc.physics import pipe
from mistcalc.physics.nozzle import FULL_OPEN

PRESSURE_TOLERANCE = 1e-9  # of supply pressure
FLOW_TOLERANCE = 1e-6  # of design flow
_LEAK = 1e-9  # of design flow: what a shut nozzle passes backward at full supply pressure
FIRST_RAMP = 0.3  # of supply pressure: the nozzles' ramp while the first steps are taken, then shrunk
LEAST_RAMP = 1e-4  # of supply pressure: below it a nozzle without a check follows a straight ramp
_LEAST_SLOPE = 1e-9  # of supply pressure over design flow: keeps a tube of no length solvable
_NEVER = 1e3  # m3/s, a flow no nozzle has


class Laws(NamedTuple):
    """Element laws with everything that does not change during a solve worked out."""

    tube: pipe.TubeLaw  # least_slope included
    rise: Floats  # [tube] Pa, static pressure from start up to end
    least_slope: Floats  # Pa s/m3
    check: Floats | None  # Pa, check valves' opening pressure, NO_CHECK elsewhere; None: there is none at all
    coefficient: Floats  # [nozzle] and the next seven
    steepness: Floats  # Pa s2/m6, 1 / coefficient^2
    exponent: Floats
    opens_at: Floats
    plugged: NDArray[np.bool_]
    easy_flow: Floats  # above it a nozzle is off the longest ramp
    ramp_flow: Floats  # at which the nozzle is wide open
    ramp_slope: Floats
    shut_slope: Floats
    brisk: Floats  # [tube] flow at 1 m/s
    supply_flow: Floats  # [point]
    supply_gauge: Floats
    supply_slope: Floats  # [piece]
    supply_bend: Floats  # [piece - 1] change of slope
    pressure_scale: Floats  # the supply's first pressure
    flow_scale: Floats  # design flow: all nozzles at that pressure
    square: bool  # every nozzle flows as the root of pressure


def laws(net: Network) -> Laws:
    """The laws of a checked network, or of many variants of it at once (fields [.., variant])."""
    scale = np.asarray(net.supply_gauge[0], float)
    coefficient = np.asarray(net.coefficient, float)
    exponent = np.asarray(net.exponent, float)
    plugged = coefficient == 0.0
    passing = np.where(plugged, 1.0, coefficient)
    square = bool(np.all(exponent == 0.5))
    design = np.sum(coefficient * _rooted(scale, exponent, square), axis=0)
    design = np.where(design > 0.0, design, net.supply_flow[-1])
    check = np.asarray(net.check_opens_at, float)
    rise = net.density * net.gravity * (net.elevation[net.end] - net.elevation[net.start])
    tube = pipe.tube_law(
        net.length,
        net.bore,
        net.roughness,
        net.density,
        net.viscosity,
        net.minor_k,
        net.minor_laminar,
        net.friction,
    )
    least_slope = _LEAST_SLOPE * scale / design
    tube = tube._replace(minor_linear=tube.minor_linear + least_slope)
    supply_slope = np.diff(net.supply_gauge, axis=0) / np.diff(net.supply_flow, axis=0)
    plain = Laws(
        tube=tube,
        rise=np.asarray(rise, float),
        least_slope=least_slope,
        check=check if np.any(check >= 0.0) else None,
        coefficient=passing,
        steepness=1.0 / (passing * passing),
        exponent=exponent,
        opens_at=np.asarray(net.opens_at, float),
        plugged=plugged,
        easy_flow=coefficient,  # and the next two, set below
        ramp_flow=coefficient,
        ramp_slope=coefficient,
        shut_slope=scale / (_LEAK * design),
        brisk=np.pi / 4.0 * np.square(net.bore),
        supply_flow=net.supply_flow,
        supply_gauge=net.supply_gauge,
        supply_slope=supply_slope,
        supply_bend=np.diff(supply_slope, axis=0),
        pressure_scale=scale,
        flow_scale=design,
        square=square,
    )
    longest = np.where(plugged, 0.0, ramped(plain, FIRST_RAMP).ramp_flow)
    return ramped(plain._replace(easy_flow=longest), LEAST_RAMP)


def _rooted(gauge: Floats, exponent: Floats, square: bool) -> Floats:
    """Pressure to its power; a root is several times faster."""
    return np.sqrt(gauge) if square else gauge**exponent


def eased(laws: Laws, ramp: float, flow: Floats) -> Laws:
    """The laws for a step from these nozzle flows: with a ramp, unless it is short or none is on it."""
    if ramp <= LEAST_RAMP or (flow >= laws.easy_flow).all():
        return laws
    return ramped(laws, ramp)


def ramped(laws: Laws, least: float) -> Laws:
    """The same laws, nozzles opening along a straight ramp up to at least this share of supply pressure.

    A plugged nozzle has the slope of a shut one both ways: at most 1e-9 of design flow.
    """
    wide = np.maximum(FULL_OPEN * laws.opens_at, max(least, LEAST_RAMP) * laws.pressure_scale)
    flow = laws.coefficient * _rooted(wide, laws.exponent, laws.square)
    slope = (wide - laws.opens_at) / flow
    if laws.plugged.any():
        flow = np.where(laws.plugged, _NEVER, flow)
        slope = np.where(laws.plugged, laws.shut_slope, slope)
    return laws._replace(ramp_flow=flow, ramp_slope=slope)


def on_least_ramp(laws: Laws, true: Laws, flow: Floats) -> NDArray[np.bool_]:
    """Whether `laws` give these nozzle flows the pressures of the `true` ones: no nozzle is on a ramp that is
    longer here than there. One truth a variant."""
    on_ramp = (flow > 0.0) & (flow < laws.ramp_flow)
    return ~np.any(on_ramp & (laws.ramp_flow > true.ramp_flow), axis=0)


def element_ends(net: Network) -> tuple[Ints, Ints]:
    """Node at the start and at the end of each element; the open air is the number after the last node."""
    air = net.elevation.shape[0]
    start = np.concatenate((net.start, net.nozzle_node, (air,)))
    end = np.concatenate((net.end, np.full(net.nozzle_node.size, air), (net.supply_node,)))
    return start.astype(np.intp), end.astype(np.intp)


def drop_and_slope(laws: Laws, flow: Floats) -> tuple[Floats, Floats]:
    """Pressure lost from start to end of each element at `flow`, and its slope, positive everywhere."""
    tubes = laws.rise.shape[0]
    drop, slope = np.empty_like(flow), np.empty_like(flow)
    drop[:tubes], slope[:tubes] = tube(laws, flow[:tubes])
    drop[tubes:-1], slope[tubes:-1] = nozzle(laws, flow[tubes:-1])
    drop[-1], slope[-1] = supply(laws, flow[-1])
    return drop, slope


def tube(laws: Laws, flow: Floats) -> tuple[Floats, Floats]:
    """Pressure lost along tubes to friction, fittings, check valves and rise, and its slope.

    A check valve is a nozzle's: it keeps its opening pressure while water passes, and against water that
    would run back it is a very steep line, so what it then holds is a negative loss.
    """
    loss, slope = pipe.loss_and_slope(laws.tube, flow)
    if laws.check is not None:
        fitted = laws.check >= 0.0
        shut = fitted & (flow < 0.0)
        loss = np.where(shut, laws.shut_slope * flow, loss) + np.where(fitted, laws.check, 0.0)
        slope = np.where(shut, laws.shut_slope, slope)
    loss += laws.rise
    return loss, slope


def nozzle(laws: Laws, flow: Floats) -> tuple[Floats, Floats]:
    """Pressure behind nozzles that pass `flow`, and its slope.

    Wide open P = (q/k)^(1/x); with a check a straight ramp from the opening pressure up to there (a
    check that snapped open could leave no solution); against backward flow a very steep line.
    """
    open_flow = np.maximum(flow, laws.ramp_flow)
    if laws.square:
        slope = open_flow * laws.steepness
        gauge = slope * open_flow
        slope *= 2.0
    else:
        gauge = (open_flow / laws.coefficient) ** (1.0 / laws.exponent)
        slope = gauge / (laws.exponent * open_flow)
    low = flow < laws.ramp_flow
    if low.any():
        line = np.where(flow < 0.0, laws.shut_slope, laws.ramp_slope)
        np.copyto(slope, line, where=low)
        line *= flow
        line += laws.opens_at
        np.copyto(gauge, line, where=low)
    return gauge, slope


def first_flow(laws: Laws, flow: Floats) -> None:
    """Set flows [element(, variant)] to start from where nothing is known.

    Every nozzle at the supply's first pressure, tubes no faster than 1 m/s: more would ask for several times
    the supply's pressure in a long line, and the first step would shut nozzles that are open.
    """
    tubes = laws.rise.shape[0]
    most = np.minimum(laws.flow_scale, laws.supply_flow[-1])
    flow[:tubes] = np.minimum(laws.brisk, most)
    flow[tubes:-1] = nozzle_flow(laws, laws.pressure_scale)
    flow[-1] = np.minimum(laws.brisk.max(axis=0, initial=0.0), most)


def nozzle_flow(laws: Laws, gauge: Floats) -> Floats:
    """Flow of wide open nozzles at a gauge pressure above 0; nothing through plugged ones."""
    flow = laws.coefficient * _rooted(gauge, laws.exponent, laws.square)
    return np.where(laws.plugged, 0.0, flow)


def supply(laws: Laws, flow: Floats) -> tuple[Floats, Floats]:
    """What the supply adds at `flow`, as a loss (so negative), and its slope: straight pieces."""
    slope = -laws.supply_slope[0]
    gauge = laws.supply_gauge[0] - slope * (flow - laws.supply_flow[0])
    if not laws.supply_bend.size:
        return -gauge, slope
    beyond = np.maximum(flow - laws.supply_flow[1:-1], 0.0)
    bent = np.einsum("p...,p...->...", laws.supply_bend, beyond)
    return -gauge - bent, slope - np.einsum("p...,p...->...", laws.supply_bend, beyond > 0.0)


def select_variants(laws: Laws, chosen: NDArray[np.bool_]) -> Laws:
    """The laws of some of many variants."""

    def part(value: Any) -> Any:
        varies = isinstance(value, np.ndarray) and value.shape[-1:] == chosen.shape
        return value[..., chosen] if varies else value

    return Laws(pipe.TubeLaw(*map(part, laws.tube)), *map(part, laws[1:]))
