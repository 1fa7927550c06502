"""One sparse symmetric system a variant, all of the same pattern, solved together.

The order in which nodes are eliminated and the couplings that fill in are worked out once (none in a tree,
few in a ring or a mesh); then each step handles one node in all variants, which lie on the last axis.
"""

from __future__ import annotations

from heapq import heapify, heappop, heappush
from typing import NamedTuple

import numpy as np
from scipy.sparse import csr_array

from mistcalc.line.network.arrays import Floats, Ints


class _Step(NamedTuple):
    """Eliminate `node` from the rows of `others`, through their couplings, changing `filled` ones."""

    node: int
    others: tuple[int, ...]
    couplings: tuple[int, ...]
    filled: tuple[tuple[int, int, int], ...]  # coupling, and which two of `others` it joins


class Pattern(NamedTuple):
    """Which nodes are joined, and the order to eliminate them in.

    Where `start`, `end` [element] is the number after the last node, the element ends outside the system.
    """

    nodes: int
    start: Ints
    end: Ints
    inflow: csr_array  # [node, element] 1 where it arrives, -1 where it leaves
    assemble: csr_array  # [entry, element] entries: nodes, then couplings
    steps: tuple[_Step, ...]


def pattern(nodes: int, start: Ints, end: Ints) -> Pattern:
    """Work out the elimination: always the node with fewest neighbours left."""
    number: dict[tuple[int, int], int] = {}
    joined: list[set[int]] = [set() for _ in range(nodes)]

    def coupling(a: int, b: int) -> int:
        joined[a].add(b)
        joined[b].add(a)
        return number.setdefault((min(a, b), max(a, b)), nodes + len(number))

    inner = np.nonzero((start < nodes) & (end < nodes))[0]
    places = [coupling(int(start[i]), int(end[i])) for i in inner]
    queue = [(len(there), node) for node, there in enumerate(joined)]
    heapify(queue)
    gone, steps = [False] * nodes, []
    while queue:
        degree, node = heappop(queue)
        if gone[node]:
            continue
        if degree != len(joined[node]):  # it has changed since it was queued
            heappush(queue, (len(joined[node]), node))
            continue
        gone[node] = True
        others = sorted(joined[node])
        for other in others:
            joined[other].remove(node)
        pairs = [(i, j) for i in range(len(others)) for j in range(i)]
        filled = tuple((coupling(others[i], others[j]), i, j) for i, j in pairs)
        through = tuple(number[min(node, o), max(node, o)] for o in others)
        steps.append(_Step(node, tuple(others), through, filled))
    at_start, at_end = np.nonzero(start < nodes)[0], np.nonzero(end < nodes)[0]
    outer = ((end[at_end], at_end, 1.0), (start[at_start], at_start, 1.0))
    inflow = _sparse((nodes, start.size), outer[0], (*outer[1][:2], -1.0))
    couplings = (np.array(places, np.intp), inner, -1.0)
    assemble = _sparse((nodes + len(number), start.size), *outer, couplings)
    return Pattern(nodes, start, end, inflow, assemble, tuple(steps))


def _sparse(shape: tuple[int, int], *entries: tuple[Ints, Ints, float]) -> csr_array:
    """Rows, columns and the value at them; values that meet are added."""
    rows, columns = (np.concatenate([entry[i] for entry in entries]) for i in (0, 1))
    values = np.concatenate([np.full(entry[0].size, entry[2]) for entry in entries])
    return csr_array((values, (rows, columns)), shape=shape)


def solve(pattern: Pattern, weight: Floats, right: Floats) -> Floats:
    """Node values x [node, variant] that satisfy, for elements of `weight` w [element, variant], the balance
    sum of w (x there - x at the other end, 0 outside) = `right` [node, variant]. Overwrites `right`.
    """
    rows, x = list(pattern.assemble @ weight), list(right)
    given, share = np.empty_like(x[0]), np.empty_like(x[0])
    for node, others, couplings, filled in pattern.steps:
        inverse = np.reciprocal(rows[node], out=rows[node])
        for at, i, j in filled:
            np.multiply(rows[couplings[i]], inverse, out=share)
            rows[at] -= np.multiply(share, rows[couplings[j]], out=given)
        for other, at in zip(others, couplings, strict=True):
            np.multiply(rows[at], inverse, out=share)
            rows[other] -= np.multiply(share, rows[at], out=given)
            x[other] -= np.multiply(share, x[node], out=given)
    for node, others, couplings, _ in reversed(pattern.steps):
        for other, at in zip(others, couplings, strict=True):
            x[node] -= np.multiply(rows[at], x[other], out=given)
        x[node] *= rows[node]
    return right
