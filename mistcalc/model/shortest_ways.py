"""How far places of a network lie from its source: the shortest way to each (Dijkstra)."""

from __future__ import annotations

import heapq
from collections.abc import Iterable

from mistcalc.model.quantities import Metre


def lengths_from(source: str, ways: Iterable[tuple[str, str, Metre]]) -> dict[str, Metre]:
    """Length of the shortest way from the source to every place that has one, nearest first.

    ways: two places and the length between them, gone in either direction. Of two places equally far the
    one found first comes first.
    """
    joined: dict[str, list[tuple[str, Metre]]] = {}
    for here, there, length in ways:
        joined.setdefault(here, []).append((there, length))
        joined.setdefault(there, []).append((here, length))
    distances: dict[str, Metre] = {}
    waiting = [(0.0, 0, source)]
    count = 0
    while waiting:
        far, _, here = heapq.heappop(waiting)
        if here in distances:
            continue
        distances[here] = far
        for there, length in joined.get(here, ()):
            count += 1
            heapq.heappush(waiting, (far + length, count, there))
    return distances
