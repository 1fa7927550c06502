"""Rectangles on paper, in millimetres, y up: overlap, and the largest one that is still empty."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import ceil, floor, hypot, isfinite
from typing import NamedTuple

Point = tuple[float, float]


class Box(NamedTuple):
    """An upright rectangle [mm]."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.top - self.bottom

    @property
    def area(self) -> float:
        return self.width * self.height

    @property
    def middle(self) -> Point:
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    @property
    def corners(self) -> tuple[Point, ...]:
        """Anticlockwise from the lower left one."""
        left, bottom, right, top = self
        return (left, bottom), (right, bottom), (right, top), (left, top)

    def grown(self, by: float) -> Box:
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def meets(self, other: Box, gap: float = 0.0) -> bool:
        """Do they overlap, or come nearer than `gap` (measured along and across, not diagonally)?"""
        return (
            self.left - gap < other.right
            and other.left - gap < self.right
            and self.bottom - gap < other.top
            and other.bottom - gap < self.top
        )

    def holds(self, other: Box) -> bool:
        return (
            self.left <= other.left
            and self.bottom <= other.bottom
            and other.right <= self.right
            and other.top <= self.top
        )


def around(points: Iterable[Point]) -> Box:
    """The box round some points (at least one, all finite: ValueError)."""
    xs, ys = zip(*points, strict=True)
    if not isfinite(sum(xs) + sum(ys)):
        raise ValueError(f"not a place on paper: {list(zip(xs, ys, strict=True))}")
    return Box(min(xs), min(ys), max(xs), max(ys))


def common(box: Box, other: Box) -> Box | None:
    """What two boxes share, None where that is nothing."""
    low = (max(box.left, other.left), max(box.bottom, other.bottom))
    shared = Box(*low, min(box.right, other.right), min(box.top, other.top))
    return shared if shared.width > 0 and shared.height > 0 else None


def along(start: Point, end: Point, half: float, step: float = 3.0) -> list[Box]:
    """Boxes covering a line of half-width `half`: one if it is upright or level, a chain if it slants."""
    (x0, y0), (x1, y1) = start, end
    slanted = abs(x1 - x0) > 1e-6 and abs(y1 - y0) > 1e-6
    pieces = max(1, ceil(hypot(x1 - x0, y1 - y0) / step)) if slanted else 1
    stops = [(x0 + (x1 - x0) * i / pieces, y0 + (y1 - y0) * i / pieces) for i in range(pieces + 1)]
    return [around(pair).grown(half) for pair in pairwise(stops)]


def largest_empty(
    zone: Box, taken: Sequence[Box], least: tuple[float, float] = (0.0, 0.0), grid: float = 2.0
) -> Box | None:
    """The largest rectangle of `zone` that meets none of `taken` and is at least `least` (width, height).

    Searched on squares of `grid` mm, each square a box touches counting as full, so the answer never
    overlaps one; it may fall short of the true largest by up to a square on each side. None: no room.
    """
    columns, rows = floor(zone.width / grid), floor(zone.height / grid)
    full = [[False] * columns for _ in range(rows)]
    for box in taken:
        first, last = max(0, floor((box.left - zone.left) / grid)), ceil((box.right - zone.left) / grid)
        low, high = max(0, floor((box.bottom - zone.bottom) / grid)), ceil((box.top - zone.bottom) / grid)
        for row in full[low:high]:
            row[first:last] = [True] * len(row[first:last])
    best: Box | None = None
    free_below = [0] * columns
    for index, row in enumerate(full):
        free_below = [0 if taken_ else free + 1 for taken_, free in zip(row, free_below, strict=True)]
        top = zone.bottom + (index + 1) * grid
        for first, last, deep in _rectangles_under(free_below):
            box = Box(zone.left + first * grid, top - deep * grid, zone.left + last * grid, top)
            fits = box.width >= least[0] and box.height >= least[1]
            if fits and (best is None or box.area > best.area + 1e-9):
                best = box
    return best


def _rectangles_under(heights: list[int]) -> Iterable[tuple[int, int, int]]:
    """(first, past last, height) of each widest rectangle under a row of bars, by a stack of rising bars."""
    rising: list[tuple[int, int]] = []  # (where it may start, height)
    for here, height in enumerate([*heights, 0]):
        start = here
        while rising and rising[-1][1] >= height:
            start, tall = rising.pop()
            if tall > height:
                yield start, here, tall
        if height:
            rising.append((start, height))
