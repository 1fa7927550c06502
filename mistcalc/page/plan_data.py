"""The whole lid in plan as plain data, in metres, for `overview.js` to draw. Pure functions of nouns."""

from __future__ import annotations

import math
from typing import Any

from mistcalc.model.project import Patio, Plumbing, Tap
from mistcalc.model.results import Layout, Point, RunLine
from mistcalc.model.run_extents import from_datum, lid_along, strip_corners
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.screens import drawable_screens

Data = dict[str, Any]
NEAR = 1e-6  # m
Signs = tuple[tuple[str, int], ...]  # what a thing is called, and the number of what is said of it


def stopped(layout: Layout) -> frozenset[str]:
    """Marks that must not be drilled."""
    return frozenset((*layout.holes.stop, *layout.holes.stop_drilled))


def laid_tube(row: RunLine, layout: Layout, plumbing: Plumbing | None) -> tuple[Point, Point]:
    """Where a row has tube: from the first place something is joined to it, or a mark, to the last, as the
    solved line has it (`SolvedLine.laid_tube`). plumbing None: all of the row."""
    if plumbing is None:
        return row.tube
    start, end = map(row.along, row.tube)
    low, high = sorted((start, end))
    spots = [spot for piece in plumbing.every_piece for spot in (piece.start, piece.end)]
    spots += [drain.at for drain in plumbing.drains]
    ends = {f"{row.name} start": start, f"{row.name} end": end}
    at = [ends[str(spot)] for spot in spots if str(spot) in ends]
    at += [mark.along for mark in layout.marks if mark.run == row.name]
    at += [
        min(max(spot.along, low), high) for spot in spots if isinstance(spot, Tap) and spot.run == row.name
    ]
    if not at or max(at) - min(at) <= NEAR:
        return row.tube
    (x1, y1), (x2, y2) = row.tube
    shares = sorted((each - start) / (end - start) for each in (min(at), max(at)))
    first, last = ((x1 + (x2 - x1) * share, y1 + (y2 - y1) * share) for share in shares)
    return first, last


def lid_in_plan(
    layout: Layout,
    patio: Patio,
    locale: Locale,
    plumbing: Plumbing | None = None,
    signs: Signs = (),
) -> Data:
    """What overview.js draws of the whole lid. plumbing: what the tube is joined to. signs: numbers to stand
    at things, in hexagons."""
    lid, numbers = layout.lid, dict(signs)
    beside = [end for screen in drawable_screens(layout) for end in screen.line]
    xs, ys = ([point[i] for point in (*lid.outline, *beside)] for i in (0, 1))
    stop = stopped(layout)
    near = {clash.mark for clash in layout.clashes}
    stated = {run.name: run for run in patio.runs}
    return {
        "box": [min(xs), min(ys), max(xs), max(ys)],
        "outlines": lid.loops,
        "walls": lid.walls,
        "screens": [screen.line for screen in drawable_screens(layout)],
        "members": [member.line for member in lid.members],
        "joints": [joint.line for joint in lid.joints],
        "tubes": [laid_tube(row, layout, plumbing) for row in lid.rows],
        "marks": [
            {
                "at": mark.point,
                "stop": mark.name in stop,
                "near": mark.name in near,
                "name": mark.name,
                "row": mark.run,
            }
            for mark in layout.marks
        ],
        "seats": [{"at": seat.point, "name": seat.name} for seat in lid.seats],
        "things": [
            {
                "name": thing.name,
                "at": thing.point,
                "outline": thing.outline,
                "radius": thing.radius or 0.0,
                "kind": thing.kind,
                "warning": numbers.get(thing.name, 0),
            }
            for thing in lid.obstacles
        ],
        "runs": [
            {
                "name": run.name,
                "edge": run.edge,
                "label": locale.label(
                    "page.run_label",
                    name=run.name,
                    length=stated[run.name].length,
                    count=sum(lid.run_of(mark.run) == run.name for mark in layout.marks),
                ),
                **_frame(run, patio),
            }
            for run in lid.runs
        ],
    }


def _frame(run: RunLine, patio: Patio) -> Data:
    """Where the tape begins, which way it goes which way the house lies, and the lid there is."""
    (x1, y1), (x2, y2) = run.edge
    length = math.hypot(x2 - x1, y2 - y1) or 1.0
    ahead: Point = ((x2 - x1) / length, (y2 - y1) / length)
    number = next(n for n, stated in enumerate(patio.runs) if stated.name == run.name)
    tape = 1.0 if run.datum_at_start else -1.0
    low, high = lid_along(patio, number)
    return {
        "datum": run.datum_point,
        "tape": (tape * ahead[0], tape * ahead[1]),
        "house": (-ahead[1], ahead[0]),
        "ahead": ahead,
        "low": low,
        "high": high,
        "deep": max(patio.depths_over(number)),
        "strip": _strip(patio, number),
    }


def _strip(patio: Patio, number: int) -> list[Point]:
    """The run's lid by its corners, along the tape and back from the edge: at a bend it ends on a slant."""
    run = patio.runs[number]
    return [
        (from_datum((s, s), run.length, run.datum.end)[0], back) for s, back in strip_corners(patio, number)
    ]
