"""How a second row of nozzles gets its water: with the first, from its run, in the same zone.

Both rows hang in parallel on one feed: a tee at that end of the run where the water comes in, and tube from
there to the same end of the second row. Round a corner the second row goes on as the first does, where
nothing but elbows stands between the two runs. Common practice, no source. A piece of the file that begins or
ends at a second row takes all of this out of the program's hands for that row.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from mistcalc.model.project import Patio, Piece, Plumbing, Project, Run, SecondRow, Spot, Tap, Zone
from mistcalc.model.shortest_ways import lengths_from

ENDS = ("start", "end")
BENDS = ("elbow", "elbow 45")


def usual_name(run: str) -> str:
    """What a second row is called where nobody says: 2A behind A, its first mark 2A1."""
    return f"2{run}"


def second_row(project: Project, patio: Patio) -> float | None:
    """How far behind the edge a second row lies, of this patio before others; None: there is none."""
    patios = (patio, *project.patios)
    return next((run.second_row.back for one in patios for run in one.runs if run.second_row), None)


def tried_rows(patios: Sequence[Patio], deep: float, depths: Sequence[float]) -> Iterator[tuple[Patio, ...]]:
    """The patios otherwise: without the second rows they have, and with a second row at each of `depths`,
    shares of the way from the edge to the house, under lids at least so deep [m]."""
    bare = tuple(_with(patio, [None] * len(patio.runs)) for patio in patios)
    told = [tuple(patios)]
    for others in (bare, *(_with_rows(patios, deep, share) for share in depths)):
        if others not in told:
            told.append(others)
            yield others


def _with_rows(patios: Sequence[Patio], deep: float, share: float) -> tuple[Patio, ...]:
    """With a second row wherever there is room for one. A row there is keeps its name."""
    taken = {run.name for patio in patios for run in (*patio.runs, *patio.rows)}
    made = []
    for patio in patios:
        rows: list[SecondRow | None] = []
        for n, run in enumerate(patio.runs):
            depth, marks = patio.depth_over(n), patio.marks
            back = round(round(depth * share / marks.grid) * marks.grid, 9)  # a tape has no last digits
            wide = back - patio.line_behind_edge >= marks.closest and depth - back >= marks.from_wall
            if depth < deep or not wide:
                rows.append(None)
            elif run.second_row is not None:
                rows.append(replace(run.second_row, back=back))
            else:
                rows.append(SecondRow(back, _free_name(run.name, taken)))
        made.append(_with(patio, rows))
    return tuple(made)


def _with(patio: Patio, rows: Sequence[SecondRow | None]) -> Patio:
    runs = (replace(run, second_row=row) for run, row in zip(patio.runs, rows, strict=True))
    return replace(patio, runs=tuple(runs))


def _free_name(run: str, taken: set[str]) -> str:
    name = usual_name(run)
    while name in taken:
        name = usual_name(name)
    taken.add(name)
    return name


def with_row_feeds(project: Project) -> Project:
    """The project with the tube to its second rows, and with those rows in the zones of their runs where no
    zone names them. Without a second row: the project itself."""
    plumbing = replace(project.plumbing, row_feeds=(), second_rows=())
    placed = {run.name: _Placed(patio, n) for patio in project.patios for n, run in enumerate(patio.runs)}
    second = {name: run.row for name, run in placed.items() if run.row}
    if not second and not project.plumbing.second_rows:
        return project
    gone = {row for row, _ in project.plumbing.second_rows} - set(second.values())
    plumbing = replace(plumbing, zones=tuple(_without(zone, gone) for zone in plumbing.zones))
    plumbing = _in_zones(plumbing, second)
    feeds, rows = tuple(_feeds(placed, second, plumbing)), tuple((row, run) for run, row in second.items())
    return replace(project, plumbing=replace(plumbing, row_feeds=feeds, second_rows=rows))


@dataclass(frozen=True)
class _Placed:
    """A run where it is in its patio."""

    patio: Patio
    number: int

    @property
    def run(self) -> Run:
        return self.patio.runs[self.number]

    @property
    def row(self) -> str:
        """The name of its second row; "": it has none."""
        return self.run.second_row.name if self.run.second_row else ""


def _without(zone: Zone, gone: set[str]) -> Zone:
    return replace(zone, runs=tuple(run for run in zone.runs if run not in gone))


def _in_zones(plumbing: Plumbing, second: dict[str, str]) -> Plumbing:
    """`second`: the second row of each run that has one."""
    zoned = {name for zone in plumbing.zones for name in zone.runs}

    def rows(runs: Sequence[str]) -> Iterator[str]:
        for run in runs:
            yield run
            if run in second and second[run] not in zoned:
                yield second[run]

    zones = tuple(replace(zone, runs=tuple(rows(zone.runs))) for zone in plumbing.zones)
    return replace(plumbing, zones=zones)


# ------------------------------------------------------------------ tube to them


def _feeds(placed: dict[str, _Placed], second: dict[str, str], plumbing: Plumbing) -> Iterator[Piece]:
    """Tube to every second row that no piece of the file names: to the first of those that hang together,
    and from each to the next."""
    stated = {run_of(spot) for spot in (*_spots(plumbing), *(drain.at for drain in plumbing.drains))}
    free = {run: row for run, row in second.items() if row not in stated}
    together = {run: {run} for run in free}
    corners = list(_corners(free, plumbing))
    for here, there, _ in corners:
        group = together[here] | together[there]
        together |= dict.fromkeys(group, group)
    source = "pump" if plumbing.pump is not None else "water point"
    far = lengths_from(source, _ways([each.run for each in placed.values()], plumbing))
    for group in {id(group): group for group in together.values()}.values():
        ends = [(run, end) for run in free if run in group for end in ENDS]
        run, end = min(ends, key=lambda place: _farness(placed[place[0]].run, place[1], far))
        yield _feed(placed[run], end)
    yield from (piece for _, _, piece in corners)


def _corners(free: dict[str, str], plumbing: Plumbing) -> Iterator[tuple[str, str, Piece]]:
    """The two runs, and a piece between their second rows, where elbows alone join the first ones."""
    zone_of = {run: zone.name for zone in plumbing.zones for run in zone.runs}
    for piece in plumbing.pieces:
        here, there = (run_of(spot) for spot in (piece.start, piece.end))
        level = piece.rise in (0.0, None) and all(kind in BENDS for kind, count in piece.fittings if count)
        if not level or here == there or not {here, there} <= free.keys():
            continue
        if isinstance(piece.start, Tap) or isinstance(piece.end, Tap):
            continue
        if zone_of.get(free[here]) == zone_of.get(free[there]):
            start, end = piece.start.removeprefix(here), piece.end.removeprefix(there)
            yield here, there, replace(piece, start=f"{free[here]}{start}", end=f"{free[there]}{end}")


def _farness(run: Run, end: str, far: dict[str, float]) -> tuple[float, bool]:
    """The end nearest to the source by tube, else that of the datum: the same one in a mirrored house."""
    return far.get(f"{run.name} {end}", float("inf")), end != run.datum.end


def _feed(placed: _Placed, end: str) -> Piece:
    """Tube from an end of a run to that of its second row. Where two second rows meet round a corner, and at
    any outside corner, the second row begins as much farther along as it lies farther back."""
    run, patio, n = placed.run, placed.patio, placed.number
    assert run.second_row is not None
    apart = run.second_row.back - patio.line_behind_edge
    before, after = patio.runs[n - 1], patio.runs[(n + 1) % len(patio.runs)]
    corner, beyond = (before.corner, before) if end == "start" else (run.corner, after)
    turns = corner == "outside" or (corner == "inside" and beyond.second_row is not None)
    length, elbows = (2 * apart, 2) if turns else (apart, 1)
    return Piece(f"{run.name} {end}", f"{placed.row} {end}", length, 0.0, (("elbow", elbows),))


def _spots(plumbing: Plumbing) -> Iterator[Spot]:
    for piece in plumbing.pieces:
        yield from (piece.start, piece.end)


def run_of(spot: Spot) -> str:
    """The run, or row, that a spot lies on, if it is one of theirs."""
    if isinstance(spot, Tap):
        return spot.run
    run, _, end = spot.rpartition(" ")
    return run if end in ENDS else ""


def _ways(runs: Sequence[Run], plumbing: Plumbing) -> Iterator[tuple[str, str, float]]:
    """Tube from spot to spot: the pieces, and the runs from one spot on them to the next."""
    for piece in plumbing.pieces:
        yield str(piece.start), str(piece.end), piece.length
    for run in runs:
        at = {f"{run.name} start": 0.0, f"{run.name} end": run.length}
        for spot in _spots(plumbing):
            if isinstance(spot, Tap) and spot.run == run.name:
                at[spot.said] = spot.along if run.datum.end == "start" else run.length - spot.along
        for (one, here), (other, there) in pairwise(sorted(at.items(), key=lambda place: place[1])):
            yield one, other, there - here
