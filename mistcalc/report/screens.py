"""Screens, fences and hedges that stand free beside the lid, on plan and map."""

from __future__ import annotations

from dataclasses import replace
from string import ascii_lowercase

from mistcalc.drawing.boxes import Point
from mistcalc.drawing.sheet import THIN, Line
from mistcalc.model.results import Layout, PlacedScreen
from mistcalc.report import paths
from mistcalc.report.lie import WALL
from mistcalc.report.sketch import Sketch, fitted, tag_of
from mistcalc.report.voice import Voice

BESIDE, APART = 0.8, 0.9  # mm: from where it stands to the first of its two lines, and to the second
ALONG = (0.5, 0.25, 0.75, 0.02, 0.98)  # of its length: where a tag is tried
MOST_TOLD = 8  # of a map
NEAR = 1.0  # m: what stands farther outside is told, not drawn: it would make all else small


def near(layout: Layout) -> tuple[PlacedScreen, ...]:
    """Those that stand near enough to be drawn."""
    return tuple(screen for screen in layout.lid.screens if screen.out <= NEAR)


def double_line(line: tuple[Point, Point], layer: str) -> list[Line]:
    """Two thin lines just outside a line on paper that is walked with the patio on its left."""
    left = paths.left(paths.unit(*line))
    ends = [[paths.moved(end, left, -off) for end in line] for off in (BESIDE, BESIDE + APART)]
    return [Line(a, b, layer=layer, pen=THIN) for a, b in ends]


def told(screen: PlacedScreen, voice: Voice) -> list[str]:
    high = voice.label("paper.screen_high", height=screen.height)
    return [screen.name, high, *([voice.label("paper.screen_out", out=screen.out)] if screen.out else [])]


def lettered(layout: Layout) -> tuple[tuple[str, PlacedScreen], ...]:
    """Those drawn on a map, each with its letter."""
    return tuple(zip(ascii_lowercase, near(layout), strict=False))


def map_words(layout: Layout, voice: Voice) -> tuple[str, ...]:
    """What the letters of a map are, and what stands too far out to be on it; a sentence each."""
    by_letter = [voice.label("map.screen", sign=sign, name=one.name, height=one.height)
                 for sign, one in lettered(layout)]  # fmt: skip
    far = [voice.label("map.screen_far", name=one.name, height=one.height, out=one.out)
           for one in layout.lid.screens if one.out > NEAR]  # fmt: skip
    groups = (("map.screens", by_letter), ("map.screens_far", far))
    return tuple(voice.label(key, told="; ".join(told[:MOST_TOLD])) for key, told in groups if told)


def draw_screens(sketch: Sketch, layout: Layout) -> None:
    for screen in near(layout):
        shown = paths.clip(screen.line, sketch.part.window)
        if shown is not None and shown[0] != shown[1]:
            a, b = (sketch.at(end) for end in shown)
            sketch.items += [replace(line, view=sketch.view) for line in double_line((a, b), "WALL")]


def name_screens(sketch: Sketch, layout: Layout, voice: Voice) -> list[tuple[str, ...]]:
    """A tag beside each: name, height, how far outside; off the lid where there is room. Returns what found
    none."""
    homeless = []
    for screen in layout.lid.screens:
        points, lines = _beside(sketch, screen), fitted(told(screen, voice))
        if not points:
            continue
        tries = [(off_lid, some) for some in (lines, lines[:1]) for off_lid in (True, False)]
        named = next((some for off, some in tries if _named(sketch, screen, points, some, off)), [])
        if len(named) < len(lines):
            homeless.append(tuple(lines))
    return homeless


def _named(
    sketch: Sketch, screen: PlacedScreen, points: list[Point], lines: list[str], off_lid: bool
) -> bool:
    for point in points:
        at = sketch.at(point)
        (placed,) = sketch.place([tag_of(at, BESIDE + APART, lines)], off_lid)
        if placed is not None:
            sketch.label(placed, lines, "WALL")
            if screen.out <= NEAR:
                sketch.lead(at, 0.0, placed.box, "WALL")
            return True
    return False


def _beside(sketch: Sketch, screen: PlacedScreen) -> list[Point]:
    """Points of its line that a tag may stand beside; of one not drawn, those of the window nearest to them.
    None where another sheet shows it."""
    window, (a, b) = sketch.part.window, screen.line
    shown = paths.clip(screen.line, window)
    drawn = screen.out <= NEAR and shown is not None and shown[0] != shown[1]
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
