"""The shortest way along tubes from one place of the line to another."""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from mistcalc.model.results import LineTube


def shortest(
    source: str, tubes: Sequence[LineTube]
) -> tuple[dict[str, float], dict[str, tuple[str, LineTube]]]:
    """Shortest way [m] from a node to each that tubes reach, and whence and by which tube it comes there."""
    beside: dict[str, list[tuple[str, LineTube]]] = {}
    for tube in tubes:
        beside.setdefault(tube.start, []).append((tube.end, tube))
        beside.setdefault(tube.end, []).append((tube.start, tube))
    far: dict[str, float] = {source: 0.0}
    came: dict[str, tuple[str, LineTube]] = {}
    queue, never = [(0.0, source)], float("inf")
    while queue:
        way, here = heapq.heappop(queue)
        if way > far[here]:
            continue
        for there, tube in beside.get(here, ()):
            longer = way + tube.length
            if longer < far.get(there, never):
                far[there], came[there] = longer, (here, tube)
                heapq.heappush(queue, (longer, there))
    return far, came


def way_to(source: str, tubes: Sequence[LineTube], node: str) -> list[LineTube]:
    """Tubes from one node to another by the shortest way, the last one first."""
    _, came = shortest(source, tubes)
    way = []
    while node in came:
        node, tube = came[node]
        way.append(tube)
    return way
