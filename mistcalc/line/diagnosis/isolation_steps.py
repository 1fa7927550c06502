"""By which valves to part a line that loses water, and in which order: halves first."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

import numpy as np

from mistcalc.line.network.arrays import Network, joined_to_supply
from mistcalc.model.results.diagnosis import IsolationStep

MOST_PAIRED = 40  # valves looked at in twos


class Section(NamedTuple):
    """A piece that holds a valve, with its tubes."""

    name: str
    tubes: tuple[int, ...]


def isolation(net: Network, sections: tuple[Section, ...]) -> tuple[IsolationStep, ...]:
    """Steps, the one that halves the line's joints best first; none for a line without a valve in it.

    A leak may be at any joint (node). Shutting the valve of a piece cuts off all that hangs on it; in a ring
    it takes two, and what stands between them is cut off. A shut valve that cuts nothing off is no step.
    """
    steps = _steps(net, sections)
    return tuple(sorted(steps, key=lambda s: (round(abs(s.share - 0.5), 9), len(s.valves), s.valves)))


def _steps(net: Network, sections: tuple[Section, ...]) -> Iterator[IsolationStep]:
    alone = {section: _off(net, (section,)) for section in sections}
    for section, off in alone.items():
        if off:
            yield IsolationStep((section.name,), off / net.elevation.size)
    idle = [section for section, off in alone.items() if not off][:MOST_PAIRED]
    for first, other in combinations(idle, 2):
        if off := _off(net, (first, other)):
            yield IsolationStep((first.name, other.name), off / net.elevation.size)


def _off(net: Network, sections: tuple[Section, ...]) -> int:
    """How many joints have no water once these are shut."""
    without = np.ones(net.start.size, bool)
    for section in sections:
        without[list(section.tubes)] = False
    return int(net.elevation.size - joined_to_supply(net, without).sum())
