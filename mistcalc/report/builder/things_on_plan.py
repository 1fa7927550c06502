"""What hangs on a lid or stands under it, on its plan: each at its true place, and named beside it."""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin

from mistcalc.drawing import boxes, line_geometry, symbols
from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.drawing.sheet import SWEEP_PEN, THIN, LineSegment
from mistcalc.model.project import Patio
from mistcalc.model.results import Layout, PlacedObstacle
from mistcalc.report.builder.plan_canvas import PlanCanvas, fitted, tag_of
from mistcalc.report.builder.runs_in_plan import WALL
from mistcalc.report.common.locale_text import Locale

OVERHANG = 8.0  # mm: a thing reaches at most so far past what the sheet shows of the lid


def draw_thing(sketch: PlanCanvas, thing: PlacedObstacle) -> None:
    """An obstacle's sign at its true place; of one larger than the sheet shows, the part shown."""
    at, limit = sketch.at(thing.point), _limit(sketch)
    if thing.radius is not None and thing.kind == "fan":
        sweep = max(sketch.view.length(thing.radius), 2.5)
        if limit.holds(Box(*at, *at).grown(sweep)):
            sketch.symbol(symbols.fan(at, sweep, sketch.view))
        else:
            sketch.symbol(_part_of_ring(sketch, at, sweep, limit))
        return
    if thing.kind == "light":
        sketch.symbol(symbols.light(at, sketch.view))
        return
    size = _size(sketch, thing)
    half_wide, half_deep = (max(side, 1.2) / 2 for side in size)  # of a line too there is something to cut
    shown = around(((at[0] - half_wide, at[1] - half_deep), (at[0] + half_wide, at[1] + half_deep)))
    shown = boxes.common(shown, limit) or shown
    at, wide, deep = shown.middle, max(shown.width, 1.2), max(shown.height, 1.2)
    if thing.kind == "column":
        sketch.symbol(symbols.post(at, min(size[0], wide), min(size[1], deep), 0.0, sketch.view))
        return
    signs = symbols.obstacle(at, wide, deep, 0.0, sketch.view)
    if thing.kind == "grill":
        for share in (-0.3, -0.1, 0.1, 0.3):
            y = at[1] + share * deep
            ends = ((at[0] - 0.4 * wide, y), (at[0] + 0.4 * wide, y))
            signs.append(LineSegment(*ends, layer="OBST", pen=THIN, view=sketch.view))
    sketch.symbol(signs)


def _limit(sketch: PlanCanvas) -> Box:
    """How far a thing may reach past what the sheet shows of the lid."""
    window = sketch.part.window
    corners = (sketch.at((window.left, window.bottom)), sketch.at((window.right, window.top)))
    return around(corners).grown(OVERHANG)


def _part_of_ring(sketch: PlanCanvas, at: Point, sweep: float, limit: Box) -> list[LineSegment]:
    """The sweep of a fan as far as the limit; without blades."""
    points = [
        line_geometry.moved(at, (cos(radians(2.0 * n)), sin(radians(2.0 * n))), sweep) for n in range(181)
    ]
    chords = (line_geometry.clip(chord, limit) for chord in pairwise(points))
    return [
        LineSegment(*chord, layer="OBST", pen=SWEEP_PEN._replace(dash=()), view=sketch.view)
        for chord in chords
        if chord is not None
    ]


def _size(sketch: PlanCanvas, thing: PlacedObstacle) -> Point:
    """Width and depth on paper."""
    if thing.radius is not None:
        return (2 * sketch.view.length(thing.radius),) * 2
    box = around(thing.outline)
    return sketch.view.length(box.width), sketch.view.length(box.height)


def name_things(sketch: PlanCanvas, patio: Patio, layout: Layout, locale: Locale) -> list[tuple[str, ...]]:
    """A tag beside each thing: name, along, back. Returns those that found no room."""
    sizes = {thing.name: thing.size for thing in patio.obstacles}
    things = [thing for thing in layout.lid.obstacles if sketch.part.holds(thing.point)]
    lines = [fitted(_told(thing, sizes.get(thing.name), locale)) for thing in things]
    tags = [
        tag_of(sketch.at(thing.point), _reach(sketch, thing), tag_lines)
        for thing, tag_lines in zip(things, lines, strict=True)
    ]
    homeless = []
    for tag_lines, tag, placed in zip(lines, tags, sketch.place(tags), strict=True):
        if placed is not None:
            sketch.label(placed, tag_lines, "OBST")
            continue
        (placed,) = sketch.place([tag_of(tag.center, tag.reach, tag_lines[:1])])  # its name alone
        if placed is not None:
            sketch.label(placed, tag_lines[:1], "OBST")
        if placed is None or len(tag_lines) > 1:
            homeless.append(tuple(tag_lines))
    return homeless


def _told(thing: PlacedObstacle, size: tuple[float, float] | None, locale: Locale) -> list[str]:
    wide = (size or (0.0, 0.0))[0]
    if thing.kind == "door glass":
        return [locale.label("paper.thing_wide", name=thing.name, size=wide)]
    name = locale.label("paper.thing_fan", name=thing.name, size=wide) if thing.kind == "fan" else thing.name
    return [name, locale.label("paper.along", along=thing.along), locale.label("paper.back", back=thing.back)]


def _reach(sketch: PlanCanvas, thing: PlacedObstacle) -> float:
    if thing.kind == "light":
        return 2.6
    if thing.kind == "door glass":
        return sketch.view.length(WALL)
    wide, deep = _size(sketch, thing)
    return max(min(wide, deep), 2.4) / 2  # places over a long thing are taken by the thing itself
