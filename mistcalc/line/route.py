"""What is connected to what: pieces, runs and marks as named nodes and tubes with their fittings."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from mistcalc.errors import InputError
from mistcalc.model.project import Piece, Plumbing
from mistcalc.model.results import Layout, Mark, Point

PUMP, WATER_POINT = "pump", "water point"


class RouteTube(NamedTuple):
    """Tube between two named nodes, with the fittings water meets on its way."""

    start: str
    end: str
    length: float
    fittings: tuple[str, ...]
    run: str


@dataclass(frozen=True)
class Route:
    """The line as named nodes and tubes. `marks` in the order of their nodes; `fed` says from which end
    each run is fed."""

    source: str
    elevation: dict[str, float]
    point: dict[str, Point | None]
    tubes: tuple[RouteTube, ...]
    marks: dict[str, Mark]
    fed: dict[str, str]


def lay_route(plumbing: Plumbing, layouts: Sequence[Layout]) -> Route:
    """Join pieces and runs into named nodes and tubes.

    Raises InputError("piece-not-fed" or "run-not-fed") for a piece or a run that water cannot reach.
    """
    source = PUMP if plumbing.pump is not None else WATER_POINT
    runs = {run.name: run for layout in layouts for run in layout.lid.runs}
    pieces = [piece for piece in plumbing.pieces if not before_pump(plumbing, piece)]
    joined = [(p.start, p.end, p.rise) for p in pieces]
    joined += [(f"{run} start", f"{run} end", 0.0) for run in runs]
    elevation = _elevations(source, joined)
    for n, piece in enumerate(plumbing.pieces):
        for end in (piece.start, piece.end):
            if piece in pieces and end not in elevation:
                raise InputError("piece-not-fed", f"line.piece[{n}]", end=end, source=source)
    rank = {name: i for i, name in enumerate(elevation)}  # in the order water reaches them

    marks: dict[str, Mark] = {}
    point: dict[str, Point | None] = dict.fromkeys(elevation)
    fed: dict[str, str] = {}
    tubes: list[RouteTube] = []
    needed = {end for piece in pieces for end in (piece.start, piece.end)}
    if plumbing.drain is not None:
        needed.add(plumbing.drain.at)
    for layout in layouts:
        for run in layout.lid.runs:
            start, end = f"{run.name} start", f"{run.name} end"
            if start not in elevation:
                raise InputError(
                    "run-not-fed", "line.piece", run=run.name, source=source, instead=f'to = "{start}"'
                )
            fed[run.name] = start if rank[start] <= rank[end] else end
            point[start], point[end] = run.tube
            stations = [(start, 0.0)] if start in needed else []
            for mark in sorted((m for m in layout.marks if m.run == run.name), key=lambda m: m.tube_along):
                name = mark.name if mark.name not in elevation else f"{layout.patio}/{mark.name}"
                marks[name], elevation[name], point[name] = mark, elevation[start], mark.point
                stations.append((name, mark.tube_along))
            stations += [(end, run.tube_length)] if end in needed else []
            tubes += _run_tubes(stations, marks, run.name, fed[run.name] == start)
    tubes = [RouteTube(p.start, p.end, p.length, listed(p), "") for p in pieces] + tubes
    used = {source} | {name for tube in tubes for name in (tube.start, tube.end)}
    elevation = {name: z for name, z in elevation.items() if name in used}
    return Route(source, elevation, point, tuple(_with_tees(tubes, source, marks, rank)), marks, fed)


def before_pump(plumbing: Plumbing, piece: Piece) -> bool:
    """Tube between the water point and the pump: it lowers the pump's inlet, not the line."""
    return plumbing.pump is not None and {piece.start, piece.end} == {PUMP, WATER_POINT}


def _elevations(source: str, joined: Sequence[tuple[str, str, float]]) -> dict[str, float]:
    """Height of each end over the source [m], in the order water reaches them. Runs lie level; a ring's
    last piece rises by whatever its ends differ."""
    elevation, reached = {source: 0.0}, deque([source])
    while reached:
        here = reached.popleft()
        for start, end, rise in joined:
            for near, far, up in ((start, end, rise), (end, start, -rise)):
                if near == here and far not in elevation:
                    elevation[far] = elevation[here] + up
                    reached.append(far)
    return elevation


def listed(piece: Piece) -> tuple[str, ...]:
    """Its fittings one by one."""
    return tuple(kind for kind, count in piece.fittings for _ in range(count))


def _run_tubes(
    stations: Sequence[tuple[str, float]], marks: dict[str, Mark], run: str, forward: bool
) -> list[RouteTube]:
    """Tube from station to station; one that sets out from a mark has passed the run of its fitting."""
    tubes = []
    for (here, at), (there, to) in pairwise(stations):
        upstream = here if forward else there
        tubes.append(RouteTube(here, there, to - at, ("nozzle",) if upstream in marks else (), run))
    return tubes


def _with_tees(
    tubes: Sequence[RouteTube], source: str, marks: dict[str, Mark], rank: dict[str, int]
) -> list[RouteTube]:
    """Where three or more tubes meet, each one leading on turns through a tee's branch (the cautious way
    round), unless its piece already lists a tee."""
    meets: dict[str, int] = {source: 1}  # the pump or the main itself
    for tube in tubes:
        for name in (tube.start, tube.end):
            meets[name] = meets.get(name, 0) + 1
    far = len(rank)
    teed = []
    for tube in tubes:
        upstream = min(tube.start, tube.end, key=lambda name: rank.get(name, far))
        branches = meets[upstream] > 2 and upstream not in marks and rank.get(upstream, far) < far
        if branches and not any(kind.startswith("tee") for kind in tube.fittings):
            tube = tube._replace(fittings=(*tube.fittings, "tee branch"))
        teed.append(tube)
    return teed
