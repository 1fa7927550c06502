"""In which order to shut sections of a line off when it loses water: halves first, wherever it can be cut."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from mistcalc.line.arrays import Network
from mistcalc.model.results.callback import IsolationStep


class Section(NamedTuple):
    """A run, or a piece beside the runs, with the tubes it is made of in order."""

    name: str
    tubes: tuple[int, ...]


def isolation(net: Network, sections: tuple[Section, ...]) -> tuple[IsolationStep, ...]:
    """Steps, the one that halves the line's joints best first.

    A leak may be at any joint (node). Closing a section where water enters it shuts off the section and all
    that hangs on it; a section of a ring is closed at both ends and shuts off itself alone. Sections that
    hold no joint are left out.
    """
    steps = []
    for section in sections:
        if not section.tubes:
            continue
        without = np.ones(net.start.size, bool)
        without[list(section.tubes)] = False
        reached = _reached(net, without)
        touched = {int(n) for i in section.tubes for n in (net.start[i], net.end[i])}
        closed = sorted(n for n in touched if n in reached)
        beyond = set(range(net.elevation.size)) - reached
        off = (touched | beyond) - set(closed)
        if not off:
            continue
        share = len(off) / net.elevation.size
        steps.append(IsolationStep(section.name, tuple(net.name(n) for n in closed), share))
    return tuple(sorted(steps, key=lambda s: (round(abs(s.share - 0.5), 9), s.section)))


def _reached(net: Network, here: np.ndarray) -> set[int]:
    """Nodes the supply reaches through these tubes."""
    joined: dict[int, list[int]] = {}
    for a, b in zip(net.start[here].tolist(), net.end[here].tolist(), strict=True):
        joined.setdefault(a, []).append(b)
        joined.setdefault(b, []).append(a)
    seen, todo = {net.supply_node}, [net.supply_node]
    while todo:
        for n in joined.get(todo.pop(), ()):
            if n not in seen:
                seen.add(n)
                todo.append(n)
    return seen
