"""What the framer does for the line: which members are bored, where and how high, and what blocking goes in.

Heights keep a hole off both edges of a member (`model.practice`); blocking and slack are common practice, no
source. Beams, and what carries members where they change direction, are named, never bored.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from mistcalc.model.practice import BORE_EDGE, BORE_SHARE, LATH_FASTENERS
from mistcalc.model.project import Patio, Project, Run
from mistcalc.model.results import (
    Blocking,
    BoredBack,
    BoredRun,
    Carpentry,
    Layout,
    Line,
    Mark,
    RunGrowth,
    RunLine,
)
from mistcalc.model.run_extents import change_of_framing
from mistcalc.units import parse
from mistcalc.units.stock_sizes import drill_size_for

SLACK = parse(
    "3/8 in", "length"
)  # a bore over the tube: it slides as it warms and clears the wood; judgement
SOLID = 0.4  # m: a wider member is a slab of members side by side
NEAR = 1e-6  # m
HUNG = ("fan", "heater")  # heavier than a box that the ceiling alone holds


def carpentry_of(project: Project, layouts: Sequence[Layout], line: Line) -> Carpentry:
    """Every patio's bores and blocking, in the order of its runs."""
    bores: list[BoredRun] = []
    blocking: list[Blocking] = []
    unstated: list[str] = []
    for patio, layout in zip(project.patios, layouts, strict=True):
        growth = {run.run: run for run in line.duty.tube.runs if run.patio == patio.name}
        for run, run_line in zip(patio.rows, layout.lid.rows, strict=True):
            run_line = replace(run_line, tube=line.laid_tube(run_line))
            bored = _bored(project, patio, layout, run, run_line)
            bores += [bored] if bored.alongs else []
            if not run_line.of and not run.framing.as_framed and run.framing.spacing is None:
                unstated.append(run.name)
            blocking += _not_bored(patio, layout, run, run_line)
            blocking += _under_joints(patio, layout, run)
            blocking += _for_the_tube(patio, layout, run, growth.get(run.name))
        hung = (thing for thing in patio.obstacles if thing.kind in HUNG)
        blocking += [
            Blocking(patio.name, o.run, o.kind, (o.along,), o.back, o.name)  # type: ignore[arg-type]
            for o in hung
        ]
    return Carpentry(tuple(bores), tuple(blocking), tuple(_bored_back(project, layouts)), tuple(unstated))


def bore_height(hole: float, depth: float, grid: float) -> float | None:
    """Middle of the hole above the underside of a member, as low as it keeps off the lath fasteners and the
    edge, on the tape's grid; None where no hole of that size keeps off both edges."""
    up = math.ceil((max(BORE_EDGE, LATH_FASTENERS) + hole / 2) / grid - NEAR) * grid
    fits = hole <= BORE_SHARE * depth + NEAR and up + hole / 2 <= depth - BORE_EDGE + NEAR
    return up if fits else None


def _bored(project: Project, patio: Patio, layout: Layout, run: Run, run_line: RunLine) -> BoredRun:
    tube = project.plumbing.tube_on(run.name)
    hole = drill_size_for(tube.outside + SLACK, project.units)
    crossed = [m for m in layout.lid.members if m.width < SOLID]
    alongs = sorted(a for m in crossed if (a := _crossing(run_line, m.line)) is not None)
    gaps = {round(b - a, 6) for a, b in pairwise(alongs)}
    spacing = gaps.pop() if len(gaps) == 1 else None
    up = bore_height(hole, run.framing.depth, patio.marks.grid)
    return BoredRun(patio.name, run.name, tuple(alongs), spacing, run_line.back, hole, up, run.framing.depth)


def _bored_back(project: Project, layouts: Sequence[Layout]) -> Iterator[BoredBack]:
    """Where members lie along a run: those between its tube and that of its second row, at the end where the
    tube goes back."""
    pieces = {frozenset((piece.start, piece.end)): piece for piece in project.plumbing.every_piece}
    for patio, layout in zip(project.patios, layouts, strict=True):
        lines = {row.name: row for row in layout.lid.rows}
        for row in (line for line in layout.lid.rows if line.of):
            run = next(run for run in patio.runs if run.name == row.of)
            first = lines[row.of]
            for n, end in enumerate(("start", "end")):
                piece = pieces.get(frozenset((f"{row.of} {end}", f"{row.name} {end}")))
                if piece is None:
                    continue
                at = _local(first, first.tube[n])[0]
                lines_along = (
                    _local(first, member.line[0])[1]
                    for member in layout.lid.members
                    if member.width < SOLID and _lies_over(first, member.line, at)
                )
                backs = tuple(sorted(back for back in lines_along if first.back < back < row.back))
                tube = piece.tube or project.plumbing.tube
                hole = drill_size_for(tube.outside + SLACK, project.units)
                depth = run.framing.depth
                up = bore_height(hole, depth, patio.marks.grid)
                if backs:
                    along = _from_datum(first, at)
                    yield BoredBack(patio.name, row.of, row.name, along, backs, hole, up, depth)


def _lies_over(
    run_line: RunLine, segment: tuple[tuple[float, float], tuple[float, float]], at: float
) -> bool:
    """Whether a straight line lies along a run, over a place of it."""
    (a, low), (b, high) = (_local(run_line, point) for point in segment)
    return abs(low - high) <= NEAR and min(a, b) - NEAR <= at <= max(a, b) + NEAR


def _crossing(run_line: RunLine, segment: tuple[tuple[float, float], tuple[float, float]]) -> float | None:
    """Where a straight line crosses the run's tube, from its datum; None where it does not. All lines of a
    lid lie along x or y."""
    (a, low), (b, high) = (_local(run_line, point) for point in segment)
    low, high = sorted((low, high))
    (start, back), (end, _) = (_local(run_line, point) for point in run_line.tube)
    if abs(a - b) > NEAR or not (low - NEAR <= back <= high + NEAR and start - NEAR <= a <= end + NEAR):
        return None
    return _from_datum(run_line, a)


def _local(run_line: RunLine, point: tuple[float, float]) -> tuple[float, float]:
    """How far along the run's edge from its start, and how far behind it."""
    (x0, y0), (x1, y1) = run_line.edge
    far = math.hypot(x1 - x0, y1 - y0)
    ahead = ((x1 - x0) / far, (y1 - y0) / far)
    dx, dy = point[0] - x0, point[1] - y0
    return dx * ahead[0] + dy * ahead[1], dy * ahead[0] - dx * ahead[1]


def _from_datum(run_line: RunLine, from_start: float) -> float:
    if run_line.datum_at_start:
        return from_start
    (x0, y0), (x1, y1) = run_line.edge
    return math.hypot(x1 - x0, y1 - y0) - from_start


def _not_bored(patio: Patio, layout: Layout, run: Run, run_line: RunLine) -> Iterator[Blocking]:
    """What the tube crosses and nobody bores unasked."""
    for n in range(len(patio.runs)):
        change = change_of_framing(patio, n)
        if change is None or change[0].name != (run_line.of or run.name):
            continue
        along = change[1] if run.datum.end == "start" else run.length - change[1]
        reach = sorted(_from_datum(run_line, _local(run_line, point)[0]) for point in run_line.tube)
        if reach[0] + NEAR < along < reach[1] - NEAR:
            yield Blocking(patio.name, run.name, "turn", (along,), run_line.back)
    for thing in layout.lid.obstacles:
        if thing.kind not in ("beam", "outlooker", "pocket") or len(thing.outline) < 3:
            continue
        corners = thing.outline
        sides = zip(corners, (*corners[1:], corners[0]), strict=True)
        crossed = [a for side in sides if (a := _crossing(run_line, side)) is not None]
        if crossed:
            yield Blocking(
                patio.name, run.name, thing.kind, (sum(crossed) / len(crossed),), run_line.back, thing.name
            )
    for member in layout.lid.members:
        if member.width >= SOLID and member.run == (run_line.of or run.name) and member.along is not None:
            yield Blocking(patio.name, run.name, "solid", (member.along,), run_line.back)


def _under_joints(patio: Patio, layout: Layout, run: Run) -> Iterator[Blocking]:
    """Joints that are to lie on blocking, and those that no member lies at."""
    if not patio.plaster.plastered:
        return
    for line in layout.lid.joints:
        if line.run == run.name and (
            line.joint.on == "blocking" or not _on_member(layout, run, line.joint.along)
        ):
            yield Blocking(patio.name, run.name, "joint", (line.joint.along,), None, line.joint.name)


def _on_member(layout: Layout, run: Run, along: float) -> bool:
    across = [m for m in layout.lid.members if m.run == run.name and m.along is not None]
    return not across or any(abs((m.along or 0.0) - along) <= m.width / 2 + NEAR for m in across)


def _for_the_tube(patio: Patio, layout: Layout, run: Run, growth: RunGrowth | None) -> Iterator[Blocking]:
    """Where members lie along the line nothing crosses it: blocks at its clips and its anchor. Elsewhere a
    block at each stub with no member near."""
    marks = [mark for mark in layout.marks if mark.run == run.name]
    stated = run.framing.as_framed or run.framing.spacing is not None
    if not marks or not stated:
        return
    back = marks[0].back
    if run.framing.lies == "along" and growth is not None:
        yield Blocking(patio.name, run.name, "clips", _beside_stubs(patio, run, marks, growth.clips), back)
        if growth.held == "middle":
            yield Blocking(patio.name, run.name, "anchor", (growth.anchor,), back)
        return
    for mark in marks:
        if not mark.near:
            yield Blocking(patio.name, run.name, "mark", (mark.along,), back, mark.name)


def _beside_stubs(patio: Patio, run: Run, marks: Sequence[Mark], clips: Sequence[float]) -> tuple[float, ...]:
    """Where blocks for clips go: one for a clip at a stub stands past it as far as wood keeps off."""
    want = patio.marks
    off = want.hole / 2 + want.clear_of_members + run.framing.width / 2
    past = math.ceil(off / want.grid - NEAR) * want.grid
    near = {at: [mark.along for mark in marks if abs(mark.along - at) < off - NEAR] for at in clips}
    return tuple(near[at][-1] + past if near[at] else at for at in clips)
