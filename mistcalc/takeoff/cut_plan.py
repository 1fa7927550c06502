"""Pieces of tube from fitting to fitting, and how they are sawn from the sticks or coils it is sold in."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from mistcalc.model.project import Project, Tube
from mistcalc.model.quantities import Metre
from mistcalc.model.results import CutPiece, CutPlan, Layout, Line, LineTube, Point, RunLine, Stick, TubeJoint
from mistcalc.takeoff.cutting_stock import cut
from mistcalc.units import System, on_grid, parse

GRIDS: dict[System, Metre] = {"us": parse("1/16 in", "length"), "metric": 0.001}  # what a piece is sawn to
CLEAR = parse("1-1/2 in", "length")  # of a coupling's middle from a joist: room for its nuts; judgement
NEAR = 1e-9


@dataclass(frozen=True)
class _WaySpan:
    """A part of a stretch, of one run or beside them. ends: its places in plan, where it lies on a run."""

    run: str
    length: Metre
    ends: tuple[Point, Point] | None


@dataclass(frozen=True)
class _TubeWay:
    """Tube that goes on from fitting to fitting; `take_up`: what those two take of it together."""

    start: str
    end: str
    tube: Tube
    spans: tuple[_WaySpan, ...]
    take_up: Metre
    fitted: bool

    @property
    def name(self) -> str:
        return f"{self.start} to {self.end}"

    @property
    def length(self) -> Metre:
        return math.fsum(span.length for span in self.spans) - self.take_up


def cut_plans(project: Project, layouts: Sequence[Layout], line: Line) -> tuple[CutPlan, ...]:
    """How each kind of tube is sawn, the line's first."""
    lid = _Reach(project, layouts)
    stretches: dict[Tube, list[_TubeWay]] = {}
    for stretch in (*_before_the_pump(project), *_stretches(project, layouts, line)):
        if stretch.length > NEAR:
            stretches.setdefault(stretch.tube, []).append(stretch)
    return tuple(
        _plan(tube, stretches[tube], lid, GRIDS[project.units])
        for tube in project.plumbing.tubes
        if tube in stretches
    )


def _plan(tube: Tube, stretches: Sequence[_TubeWay], lid: _Reach, grid: Metre) -> CutPlan:
    pieces: list[CutPiece] = []
    joints: list[TubeJoint] = []
    for stretch in stretches:
        places = lid.places(stretch)
        ends = [0.0, *places, stretch.length]
        joints += [lid.joint(stretch, at) for at in places]
        for n, (a, b) in enumerate(pairwise(ends), 1):
            length = min(on_grid(b - a, "us", grid), tube.stick)
            pieces.append(CutPiece(stretch.name, length, n, len(ends) - 1, stretch.fitted))
    pieces = [piece for piece in pieces if piece.length > 0.0]
    lengths = [piece.length for piece in pieces]
    sawn, least = cut(lengths, tube.stick, tube.kerf)
    sticks = []
    for places_of in sawn:
        taken = math.fsum(lengths[n] for n in places_of)
        left = max(tube.stick - taken - tube.kerf * len(places_of), 0.0)
        sticks.append(Stick(tuple(pieces[n] for n in places_of), left))
    return CutPlan(tube, tuple(sticks), least, tuple(joints))


# ------------------------------------------------------------------ from fitting to fitting


def mark_nodes(layouts: Sequence[Layout], line: Line) -> set[str]:
    """The marks' nodes: each has the mark's name, or patio and name where two patios share one."""
    known = {node.name for node in line.nodes}
    both = {(f"{m.patio}/{m.name}", m.name) for layout in layouts for m in layout.marks}
    return {whole if whole in known else name for whole, name in both}


def _before_the_pump(project: Project) -> Iterator[_TubeWay]:
    plumbing = project.plumbing
    for piece in plumbing.inlet:
        span = _WaySpan("", piece.length, None)
        yield _TubeWay(str(piece.start), str(piece.end), piece.tube or plumbing.tube, (span,), 0.0, True)


def _stretches(project: Project, layouts: Sequence[Layout], line: Line) -> Iterator[_TubeWay]:
    """Tube of the line, joined where nothing parts it."""
    plumbing = project.plumbing
    fitted = {
        (str(p.start), str(p.end)) for p in plumbing.every_piece if any(count for _, count in p.fittings)
    }
    points = {node.name: node.point for node in line.nodes}
    meets: dict[str, list[int]] = {}
    for n, tube in enumerate(line.tubes):
        for end in (tube.start, tube.end):
            meets.setdefault(end, []).append(n)
    drains = {str(drain.at) for drain in plumbing.drains}
    marks = mark_nodes(layouts, line)

    def has_fittings(tube: LineTube) -> bool:
        return not tube.run and (tube.start, tube.end) in fitted

    def kind(tube: LineTube) -> Tube:
        return tube.tube or plumbing.tube

    def parts(name: str) -> bool:
        """Whether there is a fitting at a place, or an end."""
        both = [line.tubes[n] for n in meets[name]]
        plain = len(both) == 2 and kind(both[0]) == kind(both[1]) and not any(map(has_fittings, both))
        return not plain or name in marks or name in drains or name == line.supply_node

    def take_up(name: str, tube: Tube) -> Metre:
        """None at the pump, or where a cap closes the tube's own end."""
        bare = len(meets[name]) == 1 and name not in marks and name not in drains
        return 0.0 if bare or name == line.supply_node else tube.take_up or 0.0

    seen: set[int] = set()
    for n, first in enumerate(line.tubes):
        if n in seen:
            continue
        ends, spans = [first.start, first.end], [_span(first, points)]
        seen.add(n)
        for side in (1, 0):
            while not parts(ends[side]):
                more = next((m for m in meets[ends[side]] if m not in seen), None)
                if more is None:
                    break
                seen.add(more)
                tube = line.tubes[more]
                span, along = _span(tube, points), tube.start == ends[side]
                span = span if along is (side == 1) else _turned(span)
                spans = [*spans, span] if side else [span, *spans]
                ends[side] = tube.end if along else tube.start
        taken = 0.0 if has_fittings(first) else sum(take_up(end, kind(first)) for end in ends)
        yield _TubeWay(ends[0], ends[1], kind(first), tuple(spans), taken, has_fittings(first))


def _span(tube: LineTube, points: dict[str, Point | None]) -> _WaySpan:
    start, end = points.get(tube.start), points.get(tube.end)
    on_run = bool(tube.run) and start is not None and end is not None
    return _WaySpan(tube.run if on_run else "", tube.length, (start, end) if on_run else None)  # type: ignore[arg-type]


def _turned(span: _WaySpan) -> _WaySpan:
    return _WaySpan(span.run, span.length, span.ends and (span.ends[1], span.ends[0]))


# ------------------------------------------------------------------ couplings


class _Reach:
    """Where a coupling may be: rather within reach, else above a closed ceiling clear of its joists."""

    def __init__(self, project: Project, layouts: Sequence[Layout]) -> None:
        plastered = {patio.name for patio in project.patios if patio.plaster.plastered}
        self.runs: dict[str, RunLine] = {run.name: run for layout in layouts for run in layout.lid.rows}
        self.closed = {run.name: la.patio for la in layouts if la.patio in plastered for run in la.lid.rows}
        self.members = {
            name: tuple(
                (m.along, m.width)
                for la in layouts
                for m in la.lid.members
                if m.run in (name, run.of) and m.along is not None
            )
            for name, run in self.runs.items()
        }

    def places(self, stretch: _TubeWay) -> list[Metre]:
        """Where along a stretch its couplings go: as few as its sticks allow."""
        stick, places = stretch.tube.stick, []
        count = math.ceil(stretch.length / stick - NEAR) - 1
        before = 0.0
        for left in range(count, 0, -1):
            before = self.best(stretch, max(stretch.length - left * stick, before), before + stick)
            places.append(before)
        return places

    def best(self, stretch: _TubeWay, low: Metre, high: Metre) -> Metre:
        """The last place from low to high within reach; else clear of the joists; else the last."""
        reached, begin = -1.0, 0.0
        for span in stretch.spans:
            end = min(begin + span.length, high)
            if span.run not in self.closed and end >= max(low, begin):
                reached = end
            begin += span.length
        if reached >= 0.0:
            return reached
        return self.clear(stretch, low, high)

    def clear(self, stretch: _TubeWay, low: Metre, high: Metre) -> Metre:
        at = high
        while at >= low:
            run, along = self.along(stretch, at)
            wide = next(
                (
                    CLEAR + width / 2
                    for m, width in self.members.get(run, ())
                    if abs(m - along) < CLEAR + width / 2
                ),
                0.0,
            )
            if wide == 0.0:
                return at
            at -= wide
        return high

    def along(self, stretch: _TubeWay, at: Metre) -> tuple[str, Metre]:
        """The run a place of a stretch lies on and how far from that run's datum; beside the runs, from the
        stretch's own start."""
        begin = 0.0
        for span in stretch.spans:
            if at <= begin + span.length + NEAR and span.ends is not None:
                share = (at - begin) / span.length if span.length else 0.0
                (x0, y0), (x1, y1) = span.ends
                point = (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
                return span.run, self.runs[span.run].along(point)
            if at <= begin + span.length + NEAR:
                break
            begin += span.length
        return "", at

    def joint(self, stretch: _TubeWay, at: Metre) -> TubeJoint:
        run, along = self.along(stretch, at)
        return TubeJoint(stretch.name, stretch.length, run, along, self.closed.get(run, ""))
