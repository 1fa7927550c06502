"""A patio in plan for a printer of black alone: lid, house, tube, screens, and its seats by number.

Seats and screens carry numbered and lettered boxes; what is hatched over it is others' to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, dist, pi, sin

import numpy as np

from mistcalc.drawing import line_geometry
from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.drawing.sheet import FINE, HEAVY, MEDIUM, THIN, WHITE, Item, LineSegment, Pen, Polyline, Text
from mistcalc.model.results import Layout, SolvedLine
from mistcalc.report.common import screens

TALLEST = 52.0  # mm, the tallest a plan may be
SAMPLE = 0.4  # mm along a hatching line
NUMBER = 4.6  # mm, side of a seat's box
DASHED, BROKEN = Pen(0.35, (3.0, 1.2)), Pen(0.7, (1.6, 1.0))


@dataclass
class PrintedPlan:
    """The plan of one patio, its top left corner at `corner`. cells: what the cells over it fill, in plan;
    seats: their places in plan."""

    layout: Layout
    line: SolvedLine
    cells: Box
    seats: Sequence[Point]
    corner: Point
    wide: float
    tallest: float = TALLEST

    def __post_init__(self) -> None:
        beside = [end for screen in screens.drawable_screens(self.layout) for end in screen.line]
        low, high = (self.cells.left, self.cells.bottom), (self.cells.right, self.cells.top)
        shown = around((low, high, *beside))
        self.low = shown.left, shown.bottom
        self.mm = min((self.wide - 2.0) / shown.width, self.tallest / shown.height)
        left, top = self.corner[0] + 1.0, self.corner[1] - 1.0
        self.box = Box(left, top - shown.height * self.mm, left + shown.width * self.mm, top)
        self.bottom = self.box.bottom - 1.0

    def at(self, point: Point) -> Point:
        return (
            self.box.left + (point[0] - self.low[0]) * self.mm,
            self.box.bottom + (point[1] - self.low[1]) * self.mm,
        )

    def items(
        self, levels: np.ndarray, inside: np.ndarray, sets: Sequence[tuple[float, float, float]]
    ) -> list[Item]:
        """Cells [y, x] hatched by their class, under the plan's own lines and signs."""
        lid = self.layout.lid
        low, high = (self.cells.left, self.cells.bottom), (self.cells.right, self.cells.top)
        loops = [tuple(self.at(point) for point in loop) for loop in lid.loops]
        leans = any(leaning(loop) for loop in loops)
        if leans:  # it cuts through cells: of those just outside what is left takes after its neighbor
            levels, inside = grown(levels, inside)
        box = around((self.at(low), self.at(high)))
        items = hatched(levels, inside, box, sets, loops if leans else ())
        items += [Polyline(loop, True, layer="NOTE", pen=THIN) for loop in loops]
        items += [LineSegment(self.at(a), self.at(b), layer="NOTE", pen=HEAVY) for a, b in lid.walls]
        tubes = [self.line.laid_tube(row) for row in lid.rows]
        items += [LineSegment(*map(self.at, tube), layer="NOTE", pen=DASHED) for tube in tubes]
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
        signs = [(str(index + 1), point) for index, point in enumerate(self.seats)]
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


def arrow(at: Point, toward: float) -> list[Item]:
    """A direction over the plan, 7 mm long. toward: rad in plan."""
    c, s = cos(toward), sin(toward)

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


def leaning(loop: Sequence[Point]) -> bool:
    """Whether a side of an outline is neither upright nor level."""
    sides = zip(loop, (*loop[1:], loop[0]), strict=True)
    return any(min(abs(b[0] - a[0]), abs(b[1] - a[1])) > 0.01 for a, b in sides)


def grown(levels: np.ndarray, inside: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Cells [y, x] with those that touch one that is inside, each of the class of one it touches."""
    levels, there = np.pad(levels, 1), np.pad(inside, 1)
    out, held = levels.copy(), there.copy()
    for shift in ((0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1)):
        beside = np.roll(there, shift, axis=(0, 1)) & ~held
        out[beside] = np.roll(levels, shift, axis=(0, 1))[beside]
        held |= beside
    return out[1:-1, 1:-1], held[1:-1, 1:-1]


def hatched(
    levels: np.ndarray,
    inside: np.ndarray,
    box: Box,
    sets: Sequence[tuple[float, float, float]],
    loops: Sequence[Sequence[Point]] = (),
) -> list[Item]:
    """Lines over cells [y, x] that fill a box: the n-th set wherever the class is n or more. loops: where
    they end at the latest."""
    items: list[Item] = []
    for number, (turn, apart, shift) in enumerate(sets, 1):
        there = inside & (levels >= number)
        if there.any():
            items += _lines(there, box, (turn, apart, shift), loops)
    return items


def _lines(
    there: np.ndarray, box: Box, lines: tuple[float, float, float], loops: Sequence[Sequence[Point]]
) -> Iterator[Item]:
    """Parallel lines cut to the cells that are there, looked up every SAMPLE mm along them."""
    turn, apart, shift = lines
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
        if loops:
            hit &= _within(x, y, loops)
        edges = np.flatnonzero(np.diff(np.concatenate(([0], hit, [0]))))
        for first, last in zip(edges[::2], edges[1::2] - 1, strict=True):
            if last > first:
                ends = ((float(x[i]), float(y[i])) for i in (first, last))
                yield LineSegment(*ends, layer="NOTE", pen=FINE)


def _within(x: np.ndarray, y: np.ndarray, loops: Sequence[Sequence[Point]]) -> np.ndarray:
    """Which points lie inside outlines, by the even-odd rule."""
    inside = np.zeros(x.shape, dtype=bool)
    for loop in loops:
        for (x0, y0), (x1, y1) in zip(loop, (*loop[1:], loop[0]), strict=True):
            if y1 != y0:
                inside ^= ((y0 > y) != (y1 > y)) & (x < (x1 - x0) * (y - y0) / (y1 - y0) + x0)
    return inside
