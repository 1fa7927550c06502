"""How a second row of nozzles gets its water: with the first, from its run, in the same zone.

Both rows hang in parallel on one feed: a tee at that end of the run where the water comes in, and tube from it
to the same end of the second row. Round a corner the second row goes on as the first does, where nothing but
elbows stands between the two runs. Common practice, no source. A piece of the file that begins or ends at a
second row takes all of this out of the program's hands for that row.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from mistcalc.model.project import Patio, Piece, Plumbing, Project, Run, Spot, Tap

ENDS = ("start", "end")
BENDS = ("elbow", "elbow 45")


def with_row_feeds(project: Project) -> Project:
    """The project with the tube to its second rows, and those rows in the zones, and with the tube and nozzles,
    of their runs where the file says nothing of them. Without a second row: the project itself."""
    plumbing = replace(project.plumbing, row_feeds=())
    lies = {row.name: run for patio in project.patios for run in patio.runs for row in run.rows[1:]}
    if not lies:
        return replace(project, plumbing=plumbing) if project.plumbing.row_feeds else project
    plumbing = _as_their_runs(plumbing, {name: run.name for name, run in lies.items()})
    feeds = tuple(_feeds(project.patios, plumbing, lies))
    return replace(project, plumbing=replace(plumbing, row_feeds=feeds))


def _as_their_runs(plumbing: Plumbing, of: dict[str, str]) -> Plumbing:
    zoned = {name for zone in plumbing.zones for name in zone.runs}
    behind = {run: name for name, run in of.items() if name not in zoned}

    def rows(runs: Sequence[str]) -> tuple[str, ...]:
        return tuple(row for run in runs for row in (run, behind.get(run)) if row is not None)

    zones = tuple(replace(zone, runs=rows(zone.runs)) for zone in plumbing.zones)
    own = {stated.name: stated for stated in plumbing.runs}
    more = [replace(own[run], name=name) for name, run in of.items() if run in own and name not in own]
    return replace(plumbing, zones=zones, runs=(*plumbing.runs, *more))


# ------------------------------------------------------------------ tube to them


@dataclass(frozen=True)
class _Place:
    """A run and one of its ends."""

    run: Run
    end: str

    def at(self, row: str) -> str:
        return f"{row} {self.end}"


def _feeds(patios: Sequence[Patio], plumbing: Plumbing, lies: dict[str, Run]) -> Iterator[Piece]:
    stated = {_run_of(spot) for spot in (*_spots(plumbing), *(drain.at for drain in plumbing.drains))}
    free = {run.name: name for name, run in lies.items() if name not in stated}
    zone_of = {run: zone.name for zone in plumbing.zones for run in zone.runs}
    joined = {name: name for name in free}  # run -> the first of those whose second rows hang together
    corners: list[Piece] = []
    for piece in plumbing.pieces:
        ends = [_run_of(spot) for spot in (piece.start, piece.end)]
        plain = piece.rise in (0.0, None) and all(kind in BENDS for kind, count in piece.fittings if count)
        if not plain or not all(run in free and _is_end(spot) for run, spot in zip(ends, _both(piece), strict=True)):
            continue
        if ends[0] == ends[1] or len({zone_of.get(free[run]) for run in ends}) > 1:
            continue
        start, end = (f"{free[run]} {str(spot).rpartition(' ')[2]}" for run, spot in zip(ends, _both(piece), strict=True))
        corners.append(replace(piece, start=start, end=end))
        one, other = joined[ends[0]], joined[ends[1]]
        joined = {name: one if group == other else group for name, group in joined.items()}
    far = _distances(patios, plumbing)
    runs = {run.name: (patio, n) for patio in patios for n, run in enumerate(patio.runs)}
    for group in dict.fromkeys(joined.values()):
        places = [_Place(runs[name][0].runs[runs[name][1]], end) for name in free if joined[name] == group for end in ENDS]
        here = min(places, key=lambda place: (far.get(place.at(place.run.name), float("inf")), place.end != place.run.datum.end))
        yield _feed(here, free[here.run.name], *runs[here.run.name])
    yield from corners


def _feed(here: _Place, row: str, patio: Patio, n: int) -> Piece:
    """Tube from the end of a run to that of its second row. Where the rows turn an outside corner the second
    row also begins so much farther from it."""
    assert here.run.second_row is not None
    apart = here.run.second_row.back - patio.line_behind_edge
    before, after = patio.runs[n - 1], patio.runs[(n + 1) % len(patio.runs)]
    corner, beyond = (before.corner, before) if here.end == "start" else (here.run.corner, after)
    turns = corner == "outside" or (corner == "inside" and beyond.second_row is not None)
    return Piece(here.at(here.run.name), here.at(row), 2 * apart if turns else apart, 0.0, (("elbow", 2 if turns else 1),))


def _both(piece: Piece) -> tuple[Spot, Spot]:
    return piece.start, piece.end


def _spots(plumbing: Plumbing) -> Iterator[Spot]:
    for piece in plumbing.pieces:
        yield from _both(piece)


def _is_end(spot: Spot) -> bool:
    return isinstance(spot, str) and spot.rpartition(" ")[2] in ENDS


def _run_of(spot: Spot) -> str:
    """The run, or row, that a spot lies on, if it is one of theirs."""
    return spot.run if isinstance(spot, Tap) else spot.rpartition(" ")[0]


def _distances(patios: Sequence[Patio], plumbing: Plumbing) -> dict[str, float]:
    """Tube from the source to each spot by the shortest way [m]."""
    joined: dict[str, list[tuple[str, float]]] = {}

    def join(one: str, other: str, length: float) -> None:
        joined.setdefault(one, []).append((other, length))
        joined.setdefault(other, []).append((one, length))

    for piece in plumbing.pieces:
        join(str(piece.start), str(piece.end), piece.length)
    spots = [*_spots(plumbing)]
    for run in (run for patio in patios for run in patio.runs):
        at = {f"{run.name} start": 0.0, f"{run.name} end": run.length}
        for spot in spots:
            if isinstance(spot, Tap) and spot.run == run.name:
                at[spot.said] = spot.along if run.datum.end == "start" else run.length - spot.along
        order = sorted(at.items(), key=lambda place: place[1])
        for (one, here), (other, there) in zip(order, order[1:], strict=False):
            join(one, other, there - here)
    far: dict[str, float] = {}
    waiting = [(0.0, "pump" if plumbing.pump is not None else "water point")]
    while waiting:
        length, place = heapq.heappop(waiting)
        if place not in far:
            far[place] = length
            for other, more in joined.get(place, ()):
                heapq.heappush(waiting, (length + more, other))
    return far
