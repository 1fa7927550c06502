"""Screens drawn and named on a ceiling plan."""

from __future__ import annotations

from dataclasses import replace

from mistcalc.drawing import line_geometry
from mistcalc.drawing.boxes import Point
from mistcalc.model.results import Layout, PlacedScreen
from mistcalc.report.builder.plan_canvas import PlanCanvas, fitted, tag_of
from mistcalc.report.builder.runs_in_plan import WALL
from mistcalc.report.common import screens
from mistcalc.report.common.locale_text import Locale

ALONG = (0.5, 0.25, 0.75, 0.02, 0.98)  # of its length: where a tag is tried


def draw_screens(sketch: PlanCanvas, layout: Layout) -> None:
    for screen in screens.drawable_screens(layout):
        shown = line_geometry.clip(screen.line, sketch.part.window)
        if shown is not None and shown[0] != shown[1]:
            a, b = (sketch.at(end) for end in shown)
            sketch.items += [replace(line, view=sketch.view) for line in screens.double_line((a, b), "WALL")]


def name_screens(sketch: PlanCanvas, layout: Layout, locale: Locale) -> list[tuple[str, ...]]:
    """A tag beside each: name, height, how far outside; off the lid where there is room. Returns what found
    none."""
    homeless = []
    for screen in layout.lid.screens:
        points, lines = _beside(sketch, screen), fitted(screens.screen_tag_lines(screen, locale))
        if not points:
            continue
        tries = [(off_lid, some) for some in (lines, lines[:1]) for off_lid in (True, False)]
        named = next((some for off, some in tries if _named(sketch, screen, points, some, off)), [])
        if len(named) < len(lines):
            homeless.append(tuple(lines))
    return homeless


def _named(
    sketch: PlanCanvas, screen: PlacedScreen, points: list[Point], lines: list[str], off_lid: bool
) -> bool:
    for point in points:
        at = sketch.at(point)
        (placed,) = sketch.place([tag_of(at, screens.BESIDE + screens.APART, lines)], off_lid)
        if placed is not None:
            sketch.label(placed, lines, "WALL")
            if screen.out <= screens.NEAR:
                sketch.lead(at, 0.0, placed.box, "WALL")
            return True
    return False


def _beside(sketch: PlanCanvas, screen: PlacedScreen) -> list[Point]:
    """Points of its line that a tag may stand beside; of one not drawn, those of the window nearest to them.
    None where another sheet shows it."""
    window, (a, b) = sketch.part.window, screen.line
    shown = line_geometry.clip(screen.line, window)
    drawn = screen.out <= screens.NEAR and shown is not None and shown[0] != shown[1]
    if drawn and shown is not None:
        a, b = shown
    elif sketch.part.run not in ("", screen.run):
        return []
    points = [(a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])) for share in ALONG]
    if drawn:
        return points
    held = [
        (min(max(x, window.left), window.right), min(max(y, window.bottom), window.top)) for x, y in points
    ]
    apart = [abs(x - u) + abs(y - v) for (x, y), (u, v) in zip(points, held, strict=True)]
    return [place for place, off in zip(held, apart, strict=True) if off <= screen.out + 2 * WALL]
