"""What is connected to what: pieces, runs and marks as named nodes and tubes with their fittings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from mistcalc.errors import InputError
from mistcalc.model.lid_heights import node_heights, risen
from mistcalc.model.project import Piece, Plumbing, Tap, Tube
from mistcalc.model.results import Layout, Mark, Point, RunLine
from mistcalc.model.shortest_ways import lengths_from

PUMP, WATER_POINT = "pump", "water point"
WIDER = 0.999  # of a bore: tube narrower than this share of its neighbour changes size there


class RouteTube(NamedTuple):
    """Tube between two named nodes, with the fittings water meets on its way. A check valve lets it pass
    from start to end alone, past `opens_at` [Pa]."""

    start: str
    end: str
    length: float
    fittings: tuple[str, ...]
    run: str  # "" beside the runs
    tube: Tube
    temperature: float  # K, of the water in it while the line runs
    one_way: bool = False
    opens_at: float = 0.0


@dataclass(frozen=True)
class Route:
    """The line as named nodes and tubes. `marks` in the order of their nodes."""

    source: str
    elevation: dict[str, float]
    point: dict[str, Point | None]
    tubes: tuple[RouteTube, ...]
    marks: dict[str, Mark]


class _Stretch(NamedTuple):
    """One run's tube and its stations: (node, metres from its start), in order."""

    run: RunLine
    stations: list[tuple[str, float]]
    marks: dict[str, Mark]


def lay_route(plumbing: Plumbing, layouts: Sequence[Layout]) -> Route:
    """Join pieces and runs into named nodes and tubes.

    Raises InputError("piece-not-fed" or "run-not-fed") for a piece or a run that water cannot reach.
    """
    source = PUMP if plumbing.pump is not None else WATER_POINT
    before = plumbing.inlet
    pieces = [(n, piece) for n, piece in enumerate(plumbing.every_piece) if piece not in before]
    joined = {str(end) for _, piece in pieces for end in (piece.start, piece.end)}
    joined |= {str(drain.at) for drain in plumbing.drains}
    rows = [run for layout in layouts for run in layout.lid.rows]
    taken = joined | {end for run in rows for end in _ends(run)}
    stretches: list[_Stretch] = []
    for layout in layouts:
        for run in layout.lid.rows:
            stretches.append(_stretch(plumbing, layout, run, joined, taken))
            taken.update(stretches[-1].marks)
    tubes = [_piece_tube(plumbing, piece) for _, piece in pieces]
    tubes += [tube for stretch in stretches for tube in _run_tubes(plumbing, stretch)]
    far = lengths_from(source, ((tube.start, tube.end, tube.length) for tube in tubes))
    for (n, _), tube in zip(pieces, tubes, strict=False):
        for end in (tube.start, tube.end):
            if end not in far:
                raise InputError("piece-not-fed", f"line.piece[{n}]", end=end, source=source)
    for stretch in stretches:
        if stretch.stations and stretch.stations[0][0] not in far:
            name, instead = stretch.run.name, f'to = "{stretch.run.name} start"'
            raise InputError("run-not-fed", "line.piece", run=name, source=source, instead=instead)
    marks = {name: mark for stretch in stretches for name, mark in stretch.marks.items()}
    points = {name: point for stretch in stretches for name, point in _points(stretch)}
    order = [*sorted((name for name in far if name not in marks), key=far.__getitem__), *marks]
    heights = _heights(source, pieces, stretches)
    return Route(
        source,
        {name: heights[name] for name in order if name in far},
        {name: points.get(name) for name in order},
        tuple(_with_tees(tubes, source, marks, far)),
        marks,
    )


# ------------------------------------------------------------------ the pump's inlet


def inlet_rise(plumbing: Plumbing) -> float:
    """Height [m] of the pump over the water point; 0 where no tube joins them."""
    joined, _ = node_heights([(str(p.start), str(p.end), p.rise) for p in plumbing.inlet])
    heights = joined.get(PUMP, {})
    return heights[PUMP] - heights[WATER_POINT] if WATER_POINT in heights else 0.0


# ------------------------------------------------------------------ nodes and tubes


def fittings_of(piece: Piece) -> tuple[str, ...]:
    """Its fittings one by one."""
    return tuple(kind for kind, count in piece.fittings for _ in range(count))


def distance_along_tube(run: RunLine, along: float) -> float:
    """Distance [m] along a run's tube from its start, of what lies `along` [m] from the run's datum."""
    (x0, y0), (x1, y1) = run.edge
    edge = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    ahead = ((x1 - x0) / edge, (y1 - y0) / edge)
    walked = along if run.datum_at_start else edge - along
    from_edge = (run.tube[0][0] - x0) * ahead[0] + (run.tube[0][1] - y0) * ahead[1]
    return walked - from_edge


def _ends(run: RunLine) -> dict[str, float]:
    """Both ends of a run by name, so far along its tube."""
    return {f"{run.name} start": 0.0, f"{run.name} end": run.tube_length}


def _stretch(plumbing: Plumbing, layout: Layout, run: RunLine, joined: set[str], taken: set[str]) -> _Stretch:
    """Marks and taps of a run in order; its ends only where something is joined to them. A mark whose name
    is taken (by another patio's, by a person for a tee, or as the end of a run) has its patio's before it."""
    row = sorted((m for m in layout.marks if m.run == run.name), key=lambda m: m.tube_along)
    marks = {m.name if m.name not in taken else f"{layout.patio}/{m.name}": m for m in row}
    drains = [drain.at for drain in plumbing.drains]
    at = {name: place for name, place in _ends(run).items() if name in joined}
    at |= {name: mark.tube_along for name, mark in marks.items()}
    for spot in (*(end for piece in plumbing.every_piece for end in (piece.start, piece.end)), *drains):
        if isinstance(spot, Tap) and spot.run == run.name:
            # round an outside corner the tube is shorter than the edge: its nearest point
            at[spot.said] = min(max(distance_along_tube(run, spot.along), 0.0), run.tube_length)
    return _Stretch(run, sorted(at.items(), key=lambda station: station[1]), marks)


def _piece_tube(plumbing: Plumbing, piece: Piece) -> RouteTube:
    warmth = piece.temperature if piece.temperature is not None else plumbing.water.temperature
    return RouteTube(
        str(piece.start),
        str(piece.end),
        piece.length,
        fittings_of(piece),
        "",
        piece.tube or plumbing.tube,
        warmth,
        piece.one_way,
        piece.check_opens_at,
    )


def _run_tubes(plumbing: Plumbing, stretch: _Stretch) -> list[RouteTube]:
    run_plumbing = plumbing.on_run(stretch.run.name)
    kind = run_plumbing.tube or plumbing.tube
    warmth = run_plumbing.temperature if run_plumbing.temperature is not None else plumbing.water.temperature
    return [
        RouteTube(here, there, to - at, (), stretch.run.name, kind, warmth)
        for (here, at), (there, to) in pairwise(stretch.stations)
    ]


def _points(stretch: _Stretch) -> Iterable[tuple[str, Point]]:
    (x, y), (far_x, far_y) = stretch.run.tube
    for name, at in stretch.stations:
        share = at / stretch.run.tube_length if stretch.run.tube_length else 0.0
        mark = stretch.marks.get(name)
        yield name, mark.point if mark else (x + share * (far_x - x), y + share * (far_y - y))


def _heights(
    source: str, pieces: Sequence[tuple[int, Piece]], stretches: Sequence[_Stretch]
) -> dict[str, float]:
    """Height of each node over the source [m]. Runs lie level, or as their lid slopes."""
    joins: list[tuple[str, str, float | None]] = [
        (a, b, _risen(s.run, to) - _risen(s.run, at))
        for s in stretches
        for (a, at), (b, to) in pairwise(s.stations)
    ]
    joins += [(str(piece.start), str(piece.end), piece.rise) for _, piece in pieces]
    joined = node_heights(joins)[0].get(source, {source: 0.0})
    return {name: height - joined[source] for name, height in joined.items()}


def _risen(run: RunLine, along_tube: float) -> float:
    """How far a run's tube has risen from its start, so far along it [m]."""
    if not run.rise:
        return 0.0
    length = hypot(run.edge[1][0] - run.edge[0][0], run.edge[1][1] - run.edge[0][1])
    from_start = distance_along_tube(run, 0.0 if run.datum_at_start else length)
    return risen(run.rise, length, along_tube - from_start)


# ------------------------------------------------------------------ fittings at the nodes


def _with_tees(
    tubes: Sequence[RouteTube], source: str, marks: dict[str, Mark], far: dict[str, float]
) -> list[RouteTube]:
    """Every tube with the fitting that its water meets where it sets out.

    Past a mark: the run of the nozzle's fitting. Where three or more tubes meet: the run of a tee, for the
    tube that goes straight on along a run, else its branch (the cautious way round), unless its piece
    already lists a tee. A change of size: in the narrower tube. In a ring the shorter way from the source
    decides which end a tube sets out from.
    """
    order = {name: n for n, name in enumerate(far)}
    meets: dict[str, int] = {source: 1}  # the pump or the main itself
    comes: set[tuple[str, str]] = set()  # (node, run) where a run's tube leads to a node
    widest: dict[str, float] = {}
    for tube in tubes:
        near, away = sorted((tube.start, tube.end), key=order.__getitem__)
        meets[near], meets[away] = meets.get(near, 0) + 1, meets.get(away, 0) + 1
        comes.add((away, tube.run))
        for name in (near, away):
            widest[name] = max(widest.get(name, 0.0), tube.tube.bore)
    teed = []
    for tube in tubes:
        narrow = sum(tube.tube.bore < WIDER * widest[name] for name in (tube.start, tube.end))
        more = (*_sets_out(tube, order, meets, comes, marks), *("size change",) * narrow)
        teed.append(tube._replace(fittings=(*tube.fittings, *more)))
    return teed


def _sets_out(
    tube: RouteTube,
    order: dict[str, int],
    meets: dict[str, int],
    comes: set[tuple[str, str]],
    marks: dict[str, Mark],
) -> tuple[str, ...]:
    near = min(tube.start, tube.end, key=order.__getitem__)
    straight = bool(tube.run) and (near, tube.run) in comes
    if near in marks and (straight or meets[near] < 3):
        return ("nozzle",)
    if meets[near] > 2 and not any(kind.startswith("tee") for kind in tube.fittings):
        return ("tee run",) if straight else ("tee branch",)
    return ()
