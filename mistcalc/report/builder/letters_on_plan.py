"""The letters on a plan: where a tube is fed, branched, drained and tested."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin

from mistcalc.drawing import line_geometry, symbols
from mistcalc.drawing.boxes import Box, Point, along
from mistcalc.drawing.sheet import TUBE_PEN, LineSegment
from mistcalc.model.project import Plumbing
from mistcalc.report.builder import connection_letters
from mistcalc.report.builder.plan_canvas import PlanCanvas
from mistcalc.report.builder.runs_in_plan import WALL, PlanRun

LETTER_MORE = tuple(2.5 * n for n in range(9))  # farther, where a thing stands in a letter's place
LETTER_ASIDE = (0.0, 6.5, -6.5, 13.0, -13.0)  # and aside, where nothing is free farther off
LETTER_ROUND = (10.0, 16.0, 22.0, 28.0, 36.0, 44.0)  # and round about, in the last resort
LETTER_WAYS = tuple((cos(radians(22.5 * n)), sin(radians(22.5 * n))) for n in range(16))
LETTER_HALF = 2.9  # half of its box and a little
PAST_NAMES = 10.0  # from the tube to where the stroke of such a letter begins
BEHIND_NAMES = 19.0  # from the tube to the letter of a place along it, past the names and their brackets


def draw_letters(sketch: PlanCanvas, plan_run: PlanRun, plumbing: Plumbing, marks: Sequence[Box]) -> None:
    """Where a tube is fed, branched, drained and tested, clear of marks and of every tube."""
    ends = {name for name, _, _ in plan_run.ends()}
    for name, point, out in connection_letters.places(plan_run, plumbing):
        letters = connection_letters.letters_at(name, plumbing)
        if not letters or not sketch.part.holds(point):
            continue
        at = sketch.at(point)
        first = sketch.view.length(WALL) + 4.2 if name in ends else BEHIND_NAMES
        foot = at if name in ends else line_geometry.moved(at, out, PAST_NAMES)
        for index, letter in enumerate(letters):
            spot = _letter_spot(sketch, at, out, first + 6.4 * index, marks, None if index else foot)
            sketch.letters.append(Box(*spot, *spot).grown(LETTER_HALF))
            box = symbols.letter_box(spot, letter, sketch.view)
            if index == 0:
                nearest = line_geometry.moved(spot, line_geometry.unit(spot, foot), 2.6)
                sketch.items.append(LineSegment(foot, nearest, layer="TUBE", pen=TUBE_PEN, view=sketch.view))
                sketch.solid += along(foot, nearest, TUBE_PEN.width / 2)
            sketch.symbol(box, 0.2)


def _letter_spot(
    sketch: PlanCanvas, at: Point, out: Point, first: float, marks: Sequence[Box], foot: Point | None
) -> Point:
    """The middle of a letter's box: outward from its place on the tube, farther or aside where something
    stands. foot: where its stroke begins, which runs through no mark and no other letter."""
    aside = line_geometry.left(out)
    tries = [
        line_geometry.moved(line_geometry.moved(at, out, first + more), aside, side)
        for side in LETTER_ASIDE
        for more in LETTER_MORE
    ]
    tries += [line_geometry.moved(at, way, far) for far in LETTER_ROUND for way in LETTER_WAYS]
    kept_off = [*sketch.solid, *marks]
    passed = [*sketch.letters, *(box for box in marks if foot is None or not box.holds(Box(*foot, *foot)))]
    best: Point | None = None
    for spot in tries:
        room = Box(*spot, *spot).grown(LETTER_HALF)
        if any(room.meets(box) for box in kept_off):
            continue
        if foot is None or not _passes(foot, spot, passed):
            return spot
        best = best or spot
    return best or tries[0]


def _passes(foot: Point, spot: Point, boxes: Sequence[Box]) -> bool:
    stroke = along(foot, spot, TUBE_PEN.width / 2)
    return any(piece.meets(box) for piece in stroke for box in boxes)
