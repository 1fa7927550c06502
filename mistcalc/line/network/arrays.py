"""A line as plain arrays: what the network solver reads, checked and numbered for it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from mistcalc.errors import MistcalcError
from mistcalc.physics import pipe

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

NO_CHECK = -1.0  # in the place of an opening pressure: no check valve


@dataclass(frozen=True, eq=False)
class Network:
    """A line as numbers. Nodes, tubes and nozzles are counted from 0; any tube value may be a scalar.

    elevation [node], m. start, end [tube], node numbers (positive flow runs start to end); length, bore,
    roughness [tube], m; minor_k, minor_laminar [tube], so that fittings lose k + K1/Re velocity heads.
    nozzle_node [nozzle]; coefficient, exponent [nozzle] of q = k P^x, SI, x from 0.3 to 1 (a plugged one
    has no coefficient: 0); opens_at [nozzle], Pa, 0 without an anti-drip check. supply_node with its curve
    supply_flow [point], m3/s, rising, supply_gauge [point], Pa, falling; straight between points and beyond
    both ends. density kg/m3 and viscosity Pa s of the water in each tube (water keeps its volume: it swells
    by less than 0.5 % in a hot line). check_opens_at [tube], Pa: a check valve lets water pass from start to
    end alone and takes this from it; NO_CHECK where there is none. Gravity may be set to agree with another
    engine. `names` [node] for messages.
    """

    elevation: Floats
    start: Ints
    end: Ints
    length: Floats
    bore: Floats
    nozzle_node: Ints
    coefficient: Floats
    supply_node: int
    supply_flow: Floats
    supply_gauge: Floats
    density: Floats | float
    viscosity: Floats | float
    roughness: Floats | float = pipe.DRAWN_ROUGHNESS
    minor_k: Floats | float = 0.0
    minor_laminar: Floats | float = 0.0
    exponent: Floats | float = 0.5
    opens_at: Floats | float = 0.0
    check_opens_at: Floats | float = NO_CHECK
    friction: pipe.FrictionLaw = "churchill"
    gravity: float = pipe.GRAVITY
    names: tuple[str, ...] = ()

    def name(self, node: int) -> str:
        return self.names[node] if self.names else f"node {node}"


def subnetwork(
    net: Network, nodes: NDArray[np.bool_], tubes: NDArray[np.bool_], nozzles: NDArray[np.bool_]
) -> Network:
    """The network of some nodes, tubes and nozzles alone, numbered anew; the supply's node is one of them."""
    place = np.cumsum(nodes) - 1
    mask_by_kind = {"node": nodes, "tube": tubes, "nozzle": nozzles}
    chosen = {
        field: np.asarray(getattr(net, field))[mask_by_kind[kind]]
        for field, (kind, _, _) in LIMITS.items()
        if kind in mask_by_kind and np.ndim(getattr(net, field))
    }
    joints = {
        field: place[np.asarray(getattr(net, field))[mask_by_kind[kind]]] for field, kind in _JOINTS.items()
    }
    names = tuple(name for name, keep in zip(net.names, nodes, strict=False) if keep)
    supply = int(place[net.supply_node])
    return replace(net, **chosen, **joints, supply_node=supply, names=names)  # type: ignore[arg-type]


def joined_to_supply(net: Network, tubes: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Nodes that hang together with the supply by these tubes, whichever way a check valve stands."""
    joined: dict[int, list[int]] = {}
    for a, b in zip(net.start[tubes].tolist(), net.end[tubes].tolist(), strict=True):
        joined.setdefault(a, []).append(b)
        joined.setdefault(b, []).append(a)
    seen, todo = {net.supply_node}, [net.supply_node]
    while todo:
        for n in joined.get(todo.pop(), ()):
            if n not in seen:
                seen.add(n)
                todo.append(n)
    return np.isin(np.arange(net.elevation.size), list(seen))


# Where each field has an answer, and what it is counted by.
LIMITS: dict[str, tuple[str, float, float]] = {
    "elevation": ("node", -1e4, 1e4),
    "length": ("tube", 0.0, 1e6),
    "bore": ("tube", 1e-6, 10.0),
    "roughness": ("tube", 0.0, 0.5),
    "minor_k": ("tube", 0.0, 1e12),
    "minor_laminar": ("tube", 0.0, 1e12),
    "density": ("tube", 1.0, 1e5),
    "viscosity": ("tube", 1e-9, 1e3),
    "coefficient": ("nozzle", 0.0, 1e3),
    "exponent": ("nozzle", 0.3, 1.0),
    "opens_at": ("nozzle", 0.0, 1e9),
    "check_opens_at": ("tube", NO_CHECK, 1e9),
    "supply_flow": ("point", 0.0, 1e3),
    "supply_gauge": ("point", -1e12, 1e9),
}
_JOINTS = {"start": "tube", "end": "tube", "nozzle_node": "nozzle"}


def sizes(net: Network) -> dict[str, int]:
    """How many nodes, tubes, nozzles and points of the supply's curve there are."""
    counted = {"node": net.elevation, "tube": net.start, "nozzle": net.nozzle_node, "point": net.supply_flow}
    return {kind: len(values) for kind, values in counted.items()}


def checked(net: Network) -> Network:
    """The same network with full arrays, or MistcalcError for the first thing wrong with it."""
    size = sizes(net)
    last = size["node"] - 1
    values: dict[str, NDArray] = {
        field: _full(net, field, size[kind], np.intp, 0, last) for field, kind in _JOINTS.items()
    }
    for field, (kind, low, high) in LIMITS.items():
        values[field] = _full(net, field, size[kind], float, low, high)
    full = replace(net, **values)  # type: ignore[arg-type]
    for field, good in (("start", full.start != full.end), *relations(full)):
        if not good.all():
            raise MistcalcError("network-value", field=field, index=int(np.argmin(good)))
    if size["point"] < 2 or not 0 <= net.supply_node <= last:
        field = "supply_node" if size["point"] > 1 else "supply_flow"
        raise MistcalcError("network-value", field=field, index=0)
    return full


def relations(net: Network) -> tuple[tuple[str, NDArray[np.bool_]], ...]:
    """What must hold between values, element by element, by the field that breaks it."""
    return (
        ("roughness", net.roughness <= 0.05 * net.bore),
        ("supply_flow", np.diff(net.supply_flow, axis=0) > 0.0),
        ("supply_gauge", np.diff(net.supply_gauge, axis=0) < 0.0),
        ("supply_gauge", net.supply_gauge[:1] > 0.0),
    )


def _full(net: Network, field: str, size: int, kind: type, low: float, high: float) -> NDArray:
    array: NDArray = np.asarray(getattr(net, field), dtype=kind)
    if array.shape != (size,):
        if array.ndim > 0:
            raise MistcalcError("network-shape", field=field, size=array.size, expected=size)
        array = np.full(size, array)
    if size and not (array.min() >= low and array.max() <= high):  # NaN fails both
        bad = int(np.argmin((array >= low) & (array <= high)))
        raise MistcalcError("network-value", field=field, index=bad, value=float(array[bad]))
    return array


def numbering(net: Network) -> Ints:
    """Row of each node in the solver's matrix: reverse Cuthill-McKee, breadth first from an end of the line,
    so that joined nodes get near rows and the matrix is a narrow band (1 for a dead end, 2 for a ring).

    Raises MistcalcError for a node the supply cannot reach.
    """
    neighbours: list[list[int]] = [[] for _ in range(net.elevation.size)]
    for a, b in zip(net.start.tolist(), net.end.tolist(), strict=True):
        neighbours[a].append(b)
        neighbours[b].append(a)
    degree = [len(there) for there in neighbours]
    for there in neighbours:
        there.sort(key=lambda node: (degree[node], node))
    order = _breadth_first(neighbours, net.supply_node)
    if len(order) < len(neighbours):
        lost = min(set(range(len(neighbours))).difference(order))
        raise MistcalcError("unconnected-node", node=net.name(lost))
    order = _breadth_first(neighbours, order[-1])  # from a node far from the supply: a narrow front
    place = np.empty(len(order), np.intp)
    place[order[::-1]] = np.arange(len(order))
    return place


def _breadth_first(neighbours: list[list[int]], first: int) -> list[int]:
    seen, order = {first}, [first]
    for node in order:  # grows while it is walked
        for there in neighbours[node]:
            if there not in seen:
                seen.add(there)
                order.append(there)
    return order
