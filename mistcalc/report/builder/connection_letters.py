"""What joins a run where: the letters on its tube. F feed, B branch to another run, D drain, T test port."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.drawing import line_geometry
from mistcalc.drawing.boxes import Point
from mistcalc.model.project import Piece, Plumbing, Spot, Tap
from mistcalc.report.builder.runs_in_plan import PlanRun

ORDER = "FBDT"


def letters_at(name: str, plumbing: Plumbing) -> list[str]:
    """Letters of one place on a run, by its name ("A start", "A at 12 ft")."""
    pieces = [piece for piece in plumbing.every_piece if piece not in plumbing.inlet]
    source = "pump" if plumbing.pump is not None else "water point"
    letters = []
    if name in _reached(source, pieces, set()):
        letters.append("F")
    drained = [
        drain
        for drain in plumbing.drains
        if str(drain.at) == name or name in _reached(str(drain.at), pieces, _on_runs(plumbing))
    ]
    joined = [piece for piece in pieces if name in (str(piece.start), str(piece.end)) and piece.length > 0]
    if joined and not letters and not drained:
        letters.append("B")
    if drained:
        letters += ["D", "T"] if any(drain.test_port for drain in drained) else ["D"]
    return letters


def places(plan_run: PlanRun, plumbing: Plumbing) -> Iterator[tuple[str, Point, Point]]:
    """(name, point on the tube, direction its letters go) of a run's ends and of each place along it."""
    yield from plan_run.ends()
    drains = (drain.at for drain in plumbing.drains)
    spots: tuple[Spot, ...] = (*(end for p in plumbing.every_piece for end in (p.start, p.end)), *drains)
    for tap in dict.fromkeys(
        spot for spot in spots if isinstance(spot, Tap) and spot.run == plan_run.run.name
    ):
        edge = line_geometry.moved(plan_run.datum, plan_run.ahead, tap.along)
        yield tap.said, line_geometry.moved(edge, plan_run.house, plan_run.line.back), plan_run.house


def _on_runs(plumbing: Plumbing) -> set[str]:
    ends = {f"{run} {end}" for zone in plumbing.zones for run in zone.runs for end in ("start", "end")}
    taps = {str(spot) for p in plumbing.every_piece for spot in (p.start, p.end) if isinstance(spot, Tap)}
    return ends | taps


def _reached(first: str, pieces: list[Piece], stops: set[str]) -> set[str]:
    """All that tube beside the runs joins to a place, not on through `stops`."""
    reached, new = {first}, {first}
    while new:
        through = new - stops | ({first} & new)
        pairs = [(str(piece.start), str(piece.end)) for piece in pieces]
        new = {b for pair in pairs for a, b in (pair, pair[::-1]) if a in through} - reached
        reached |= new
    return reached
