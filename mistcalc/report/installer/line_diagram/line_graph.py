"""The line as a graph: runs, named places and the pieces that join them, in the order of the water."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from mistcalc.model.project import Piece, Plumbing
from mistcalc.model.results import Line, LineTube, MarkFlow

DRAWN = (  # fittings that have a sign
    "ball valve", "gate valve", "globe valve", "angle valve", "solenoid valve", "check valve", "water meter",
)  # fmt: skip


@dataclass(frozen=True)
class RunNodes:
    """One run: its nodes in the order of its tube with their distance [m], and its marks by node."""

    run: str
    nodes: tuple[tuple[str, float], ...]
    marks: Mapping[str, MarkFlow]

    @property
    def length(self) -> float:
        return self.nodes[-1][1]


@dataclass(frozen=True)
class Connection:
    """A piece beside the runs: what it is and what flows in it, and what of it is drawn as a sign."""

    piece: Piece
    tube: LineTube

    @property
    def signs(self) -> tuple[str, ...]:
        listed = [kind for kind, count in self.piece.fittings for _ in range(count) if kind in DRAWN]
        missing = len(self.tube.valves) - listed.count("solenoid valve")
        return (*("solenoid valve",) * max(missing, 0), *listed)


@dataclass(frozen=True)
class LineGraph:
    """The line as runs, named places and joins, in the order in which it is unrolled."""

    source: str
    stretches: Mapping[str, RunNodes]
    joins: tuple[Connection, ...]
    place_of: Mapping[str, str]  # the stretch of a node, else itself
    drains: frozenset[str]
    zones: tuple[str, ...]

    @cached_property
    def beside(self) -> dict[str, list[tuple[str, int]]]:
        neighbours: dict[str, list[tuple[str, int]]] = {}
        for n, join in enumerate(self.joins):
            start_place, end_place = (self.place_of.get(end, end) for end in (join.tube.start, join.tube.end))
            neighbours.setdefault(start_place, []).append((end_place, n))
            neighbours.setdefault(end_place, []).append((start_place, n))
        return neighbours

    @cached_property
    def order(self) -> tuple[str, ...]:
        """Places in the order of a walk along the tube from the source, branch by branch."""
        seen, order, todo = {self.source}, [], [self.source]
        while todo:
            here = todo.pop()
            order.append(here)
            for there, _ in reversed(self.beside.get(here, [])):
                if there not in seen:
                    seen.add(there)
                    todo.append(there)
        return tuple(order)

    @cached_property
    def came_by(self) -> dict[str, tuple[str, str]]:
        """(place before, node at which water enters) of each place on that walk."""
        entered_by: dict[str, tuple[str, str]] = {}
        todo = [self.source]
        while todo:
            here = todo.pop()
            for there, n in reversed(self.beside.get(here, [])):
                if there not in entered_by and there != self.source:
                    tube = self.joins[n].tube
                    enters = tube.end if self.place_of.get(tube.end, tube.end) == there else tube.start
                    entered_by[there] = here, enters
                    todo.append(there)
        return entered_by

    def leg_of(self, place: str) -> tuple[str, int] | None:
        """(node on a run's end that it hangs on, join) of a place that is only the foot of a leg."""
        joined = self.beside.get(place, [])
        if len(joined) != 1 or place in self.stretches or place == self.source:
            return None
        above, n = joined[0]
        tube = self.joins[n].tube
        node = tube.end if tube.start == place else tube.start
        stretch = self.stretches.get(above)
        if stretch is None or node not in (stretch.nodes[0][0], stretch.nodes[-1][0]):
            return None
        return node, n


def scheme(line: Line, plumbing: Plumbing) -> LineGraph:
    """What there is to draw of a line."""
    both = {f"{mark.patio}/{mark.name}" for mark in line.marks}
    known = {node.name for node in line.nodes}
    marks = {
        (whole if (whole := f"{mark.patio}/{mark.name}") in both & known else mark.name): mark
        for mark in line.marks
    }
    stretches: dict[str, RunNodes] = {}
    for tube in line.tubes:
        if tube.run:
            key = f"\n{tube.run}"  # no name holds a line break: a run called "pump" is not the pump
            old = stretches.get(key)
            nodes = old.nodes if old is not None else ((tube.start, 0.0),)
            nodes = (*nodes, (tube.end, nodes[-1][1] + tube.length))
            here = {name: marks[name] for name, _ in nodes if name in marks}
            stretches[key] = RunNodes(tube.run, nodes, here)
    place_of = {name: key for key, stretch in stretches.items() for name, _ in stretch.nodes}
    pieces = [piece for piece in plumbing.every_piece if piece not in plumbing.inlet]
    beside = [tube for tube in line.tubes if not tube.run]
    joins = tuple(Connection(p, t) for p, t in zip(pieces, beside, strict=True))
    drains = frozenset(str(drain.at) for drain in plumbing.drains)
    zones = tuple(zone.name for zone in line.zones)
    return LineGraph(line.supply_node, stretches, joins, place_of, drains, zones)
