"""One afternoon's map of a patio for a printer of black alone.

More cooling, or more water, is more lines: each class adds a set of parallel lines to those of the class
below, so a photocopy keeps their order. Seats and screens carry numbered and lettered boxes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, dist, pi, sin

import numpy as np

from mistcalc.drawing import line_geometry
from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.drawing.sheet import FINE, HEAVY, MEDIUM, THIN, WHITE, Item, LineSegment, Pen, Polyline, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import CoolingMap, Design, Wetness
from mistcalc.report.common import screens
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner import map_classes
from mistcalc.report.owner.map_classes import CoolingClasses

TALLEST = 52.0  # mm, the tallest a map may be
SAMPLE = 0.4  # mm along a hatching line
NUMBER = 4.6  # mm, side of a seat's box
# Sets of lines: direction [deg], distance apart, shift of the first [mm]; class n has the first n sets.
COOLER = ((45.0, 4.8, 0.0), (45.0, 4.8, 2.4), (45.0, 2.4, 1.2), (135.0, 2.4, 0.0), (135.0, 2.4, 1.2))
WET = ((45.0, 2.4, 0.0), (135.0, 1.2, 0.0))
DASHED, BROKEN = Pen(0.35, (3.0, 1.2)), Pen(0.7, (1.6, 1.0))


@dataclass
class PrintedMap:
    """One afternoon in black on white, its top left corner at `corner`."""

    design: Design
    picture: CoolingMap
    wet: Wetness
    layer: str
    scale: CoolingClasses
    corner: Point
    wide: float
    locale: Locale

    def __post_init__(self) -> None:
        self.layout = self.design.layout_of(self.picture.patio)
        beside = [end for screen in screens.drawable_screens(self.layout) for end in screen.line]
        shown = map_classes.frame_of(self.picture, beside)
        self.low = shown.left, shown.bottom
        self.mm = min((self.wide - 2.0) / shown.width, TALLEST / shown.height)
        left, top = self.corner[0] + 1.0, self.corner[1] - 1.0
        self.box = Box(left, top - shown.height * self.mm, left + shown.width * self.mm, top)
        self.bottom = self.box.bottom - 1.0

    def at(self, point: Point) -> Point:
        return (
            self.box.left + (point[0] - self.low[0]) * self.mm,
            self.box.bottom + (point[1] - self.low[1]) * self.mm,
        )

    def items(self) -> list[Item]:
        lid = self.layout.lid
        levels = map_classes.cell_classes(self.layer, self.picture, self.wet, 0, self.scale)
        cells = map_classes.frame_of(self.picture, ())
        corners = (self.at((cells.left, cells.bottom)), self.at((cells.right, cells.top)))
        field = around(corners)
        items = hatched(levels, self.picture.inside, field, COOLER if self.layer == "cooler" else WET)
        outline = tuple(self.at(point) for point in lid.outline)
        items.append(Polyline(outline, True, layer="NOTE", pen=THIN))
        items += [LineSegment(self.at(a), self.at(b), layer="NOTE", pen=HEAVY) for a, b in lid.walls]
        items += [LineSegment(*(self.at(p) for p in run.tube), layer="NOTE", pen=DASHED) for run in lid.runs]
        signs = self.signs()
        for screen in screens.drawable_screens(self.layout):
            a, b = (self.at(end) for end in screen.line)
            pieces = _round((a, b), [box for _, box in signs])
            items += [LineSegment(*piece, layer="NOTE", pen=BROKEN) for piece in pieces]
        for sign, box in signs:
            x, y = box.middle
            items.append(outlined(box, MEDIUM, WHITE))
            items.append(Text((x, y - 1.25), sign, 2.5, True, align="middle", layer="NOTE"))
        return items

    def signs(self) -> list[tuple[str, Box]]:
        """A numbered box a seat, a lettered one a screen, moved no farther than it must to stand free of the
        others and the walls."""
        placed: list[tuple[str, Box]] = []
        signs = [(str(index + 1), point) for index, point in enumerate(self.picture.seats)]
        signs += [
            (
                letter,
                ((screen.line[0][0] + screen.line[1][0]) / 2, (screen.line[0][1] + screen.line[1][1]) / 2),
            )
            for letter, screen in screens.lettered(self.layout)
        ]
        for sign, point in signs:
            placed.append((sign, self.free(self.at(point), [box for _, box in placed])))
        return placed

    def free(self, at: Point, taken: Sequence[Box]) -> Box:
        half, wall = NUMBER / 2, 0.8
        box = self.box
        candidate = Box(0, 0, 0, 0)
        for ring in range(12):
            for turn in range(max(1, 8 * ring)):
                angle = 2 * pi * turn / max(1, 8 * ring)
                x = at[0] + ring * half * cos(angle)
                y = at[1] + ring * half * sin(angle)
                x = min(max(x, box.left + half + wall), max(box.right - half - wall, box.left + half + wall))
                y = min(
                    max(y, box.bottom + half + wall), max(box.top - half - wall, box.bottom + half + wall)
                )
                candidate = Box(x - half, y - half, x + half, y + half)
                if not any(candidate.meets(other, 0.4) for other in taken):
                    return candidate
        return candidate

    def told(self) -> list[Paragraph]:
        """The wind and the means of the map; or how much is damp and wet and when it is dry."""
        bearing = self.design.project.place.bearing
        picture, wet, label = self.picture, self.wet, self.locale.label
        if self.layer == "cooler":
            wind = map_classes.wind_words(picture, bearing, self.locale)
            means = label("map.told_cooler", mean=picture.mean_drop[0], mixed=picture.patio_drop)
            return [Paragraph(wind, sign=self.arrow, indent=10.0), Paragraph(means, before=1.5)]
        _, some, most = wet.floor_shares
        return [Paragraph(label("map.told_floor", some=some, most=most, drying=wet.dries_in()))]

    def arrow(self, at: Point) -> list[Item]:
        """The way the wind goes over the plan, 7 mm long."""
        c, s = cos(self.picture.toward), sin(self.picture.toward)

        def turned(u: float, v: float) -> Point:
            return at[0] + u * c - v * s, at[1] + u * s + v * c

        head = (turned(1.2, 1.5), turned(3.5, 0.0), turned(1.2, -1.5))
        shaft = LineSegment(turned(-3.5, 0.0), turned(3.5, 0.0), layer="NOTE", pen=MEDIUM)
        return [shaft, Polyline(head, layer="NOTE", pen=MEDIUM)]


def _round(line: tuple[Point, Point], boxes: Sequence[Box]) -> list[line_geometry.Segment]:
    """A line without what lies under boxes."""
    under = [cut for box in boxes if (cut := line_geometry.clip(line, box)) is not None]
    return line_geometry.split(line, [(dist(line[0], a), dist(line[0], b)) for a, b in under])


def outlined(box: Box, pen: Pen, fill: str | None = None) -> Polyline:
    corners = (
        (box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top),
    )  # fmt: skip
    return Polyline(corners, True, fill, layer="NOTE", pen=pen)


def hatched(
    levels: np.ndarray, inside: np.ndarray, box: Box, sets: Sequence[tuple[float, float, float]]
) -> list[Item]:
    """Lines over cells [y, x] that fill a box: the n-th set wherever the class is n or more."""
    items: list[Item] = []
    for number, (turn, apart, shift) in enumerate(sets, 1):
        there = inside & (levels >= number)
        if there.any():
            items += _lines(there, box, turn, apart, shift)
    return items


def _lines(there: np.ndarray, box: Box, turn: float, apart: float, shift: float) -> Iterator[Item]:
    """Parallel lines cut to the cells that are there, looked up every SAMPLE mm along them."""
    c, s = cos(turn * pi / 180), sin(turn * pi / 180)
    corners = [(x * c + y * s, -x * s + y * c) for x in (box.left, box.right) for y in (box.bottom, box.top)]
    start, end = min(u for u, _ in corners), max(u for u, _ in corners)
    low, high = min(v for _, v in corners), max(v for _, v in corners)
    u = np.arange(start, end + SAMPLE, SAMPLE)
    ny, nx = there.shape
    for step in range(int(np.ceil((low - shift) / apart)), int(np.floor((high - shift) / apart)) + 1):
        v = step * apart + shift
        x, y = u * c - v * s, u * s + v * c
        column = np.floor((x - box.left) / box.width * nx).astype(int)
        row = np.floor((y - box.bottom) / box.height * ny).astype(int)
        held = (column >= 0) & (column < nx) & (row >= 0) & (row < ny)
        hit = np.zeros(len(u), dtype=int)
        hit[held] = there[row[held], column[held]]
        edges = np.flatnonzero(np.diff(np.concatenate(([0], hit, [0]))))
        for first, last in zip(edges[::2], edges[1::2] - 1, strict=True):
            if last > first:
                ends = ((float(x[i]), float(y[i])) for i in (first, last))
                yield LineSegment(*ends, layer="NOTE", pen=FINE)
