"""Screens, fences and hedges that stand free beside the lid, on plan and map."""

from __future__ import annotations

from string import ascii_lowercase

from mistcalc.drawing import line_geometry
from mistcalc.drawing.boxes import Point
from mistcalc.drawing.sheet import THIN, LineSegment
from mistcalc.model.results import Layout, PlacedScreen
from mistcalc.report.common.locale_text import Locale

BESIDE, APART = 0.8, 0.9  # mm: from where it stands to the first of its two lines, and to the second
MOST_TOLD = 8  # of a map
NEAR = 1.0  # m: what stands farther outside is told, not drawn: it would make all else small


def drawable_screens(layout: Layout) -> tuple[PlacedScreen, ...]:
    """Those that stand near enough to be drawn."""
    return tuple(screen for screen in layout.lid.screens if screen.out <= NEAR)


def double_line(line: tuple[Point, Point], layer: str) -> list[LineSegment]:
    """Two thin lines just outside a line on paper that is walked with the patio on its left."""
    left = line_geometry.left(line_geometry.unit(*line))
    ends = [[line_geometry.moved(end, left, -off) for end in line] for off in (BESIDE, BESIDE + APART)]
    return [LineSegment(a, b, layer=layer, pen=THIN) for a, b in ends]


def screen_tag_lines(screen: PlacedScreen, locale: Locale) -> list[str]:
    high = locale.label("paper.screen_high", height=screen.height)
    return [screen.name, high, *([locale.label("paper.screen_out", out=screen.out)] if screen.out else [])]


def lettered(layout: Layout) -> tuple[tuple[str, PlacedScreen], ...]:
    """Those drawn on a map, each with its letter."""
    return tuple(zip(ascii_lowercase, drawable_screens(layout), strict=False))


def map_words(layout: Layout, locale: Locale) -> tuple[str, ...]:
    """What the letters of a map are, and what stands too far out to be on it; a sentence each."""
    by_letter = [locale.label("map.screen", sign=sign, name=near_screen.name, height=near_screen.height)
                 for sign, near_screen in lettered(layout)]  # fmt: skip
    far = [locale.label("map.screen_far", name=screen.name, height=screen.height, out=screen.out)
           for screen in layout.lid.screens if screen.out > NEAR]  # fmt: skip
    groups = (("map.screens", by_letter), ("map.screens_far", far))
    return tuple(locale.label(key, told="; ".join(phrases[:MOST_TOLD])) for key, phrases in groups if phrases)
