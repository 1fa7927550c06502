"""Where the labels go: numbers beside a run in their order, tags beside their symbols. Pure numbers [mm].

A ladder is the row of distances along one run. Each label is a block round the axis of its mark: so far
`before` it and `after` it along the run. Blocks never touch, never change places and never stand in a
blocked stretch; where all fit on their axes none moves, else the sum of squared moves is least.
A tag stands on one of eight sides of its symbol, as near as is free.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import NamedTuple

import numpy as np

from mistcalc.drawing.boxes import Box, Point, along
from mistcalc.drawing.line_geometry import moved, unit

GAP = 0.5  # between the blocks of a ladder: at 1:64 marks of 24 in stand on their axes
LIMIT = 12.0  # farthest a label may move from its axis
GRID = 0.25  # of the first search; two finer ones follow round its answer
TEXT_GAP, SYMBOL_GAP = 0.25, 0.4  # round a tag: to other labels; to symbols and lines of 0.5 and more
LEAD_FROM = 1.5  # from a symbol: what is farther off may have a line that leads to it
RINGS = (1.2, 3.0, 6.0, 9.0, 14.0)  # from a symbol's edge to its tag
FARTHER = (20.0, 27.0, 35.0, 44.0)  # the same for a tag that a line leads to, last
_PLACES = ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1))  # E W N S, diagonals
_EPSILON = 1e-9

Interval = tuple[float, float]


class LabelExtent(NamedTuple):
    """How far a label reaches along the run before and after its axis [mm]."""

    before: float
    after: float

    @property
    def size(self) -> float:
        return self.before + self.after


FULL = LabelExtent(2.0, 6.7)  # feet and inches 3.5 bold, total inches 2.5 beside
SHORT = LabelExtent(2.15, 2.15)  # feet and inches only


@dataclass(frozen=True)
class RunLabelPlacement:
    """Where each label of a run stands, in the order of the marks.

    how: "axis" (none moved), "moved", "short" (feet and inches only), "tiers" (short, and every second
    label in a second tier), "names" (no room: names only, the numbers are in the table).
    at: position of each label's axis; empty for "names". tier: 0 or 1 for each label.
    """

    how: str
    at: tuple[float, ...] = ()
    tier: tuple[int, ...] = ()


def place_ladder(
    axes: Sequence[float],
    bounds: Interval,
    blocked: Sequence[Interval] = (),
    full: LabelExtent = FULL,
    short: LabelExtent = SHORT,
) -> RunLabelPlacement:
    """Labels for marks at rising `axes`, their blocks inside `bounds` and outside `blocked`.

    Tries in this order: as they are, moved, short, short on two tiers, names only.
    """
    level = (0,) * len(axes)
    for block, how in ((full, ("axis", "moved")), (short, ("short", "short"))):
        if fits(axes, block, bounds, blocked):
            return RunLabelPlacement(how[0], tuple(axes), level)
        moved = spread(axes, block, bounds, blocked)
        if moved is not None:
            return RunLabelPlacement(how[1], moved, level)
    tiers = _two_tiers(axes, short, bounds, blocked)
    return tiers if tiers is not None else RunLabelPlacement("names")


def fits(
    axes: Sequence[float], block: LabelExtent, bounds: Interval, blocked: Sequence[Interval] = ()
) -> bool:
    """May every label stand on its own axis?"""
    places = np.asarray(axes, float)
    apart = np.diff(places) >= block.size + GAP - _EPSILON
    return bool(np.all(apart) and np.all(_allowed(places, block, bounds, blocked)))


def spread(
    axes: Sequence[float],
    block: LabelExtent,
    bounds: Interval,
    blocked: Sequence[Interval] = (),
    limit: float = LIMIT,
) -> tuple[float, ...] | None:
    """The positions of least sum of squared moves, or None where no order-keeping places exist.

    A dynamic programme over moves on a grid of 0.25 mm finds on which side of each blocked stretch the
    labels go; two more, round its answer on 0.05 and 0.01 mm, remove what the grid cost. With nothing
    blocked the exact answer is the isotonic regression of axes[i] - i (block + gap).
    """
    wanted = np.asarray(axes, float)
    if not len(wanted):
        return ()
    centre = wanted
    for step, reach in ((GRID, limit), (GRID / 5, 12 * GRID), (GRID / 25, 3 * GRID)):
        steps = np.arange(-round(reach / step), round(reach / step) + 1) * step
        positions = _least_moves(wanted, centre[:, None] + steps, block, bounds, blocked, limit)
        if positions is None:
            return None
        centre = positions
    return tuple(float(place) for place in centre)


def _least_moves(
    wanted: np.ndarray,
    places: np.ndarray,
    block: LabelExtent,
    bounds: Interval,
    blocked: Sequence[Interval],
    limit: float,
) -> np.ndarray | None:
    """One choice per row of `places` [label, candidate, rising], in order and apart, of least cost."""
    moves = places - wanted[:, None]
    free = _allowed(places, block, bounds, blocked) & (np.abs(moves) <= limit + _EPSILON)
    move_cost = np.where(free, moves**2, np.inf)
    apart = block.size + GAP - _EPSILON
    best = move_cost[0]
    came_from = []
    for row in range(1, len(wanted)):
        ends = np.minimum.accumulate(best)
        which = np.where(best <= ends, np.arange(len(best)), 0)
        which = np.maximum.accumulate(which)  # the candidate that holds the least so far
        last = np.searchsorted(places[row - 1], places[row] - apart, side="right") - 1
        best = move_cost[row] + np.where(last >= 0, ends[last], np.inf)
        came_from.append(which[last])
    choice = int(np.argmin(best))
    if not np.isfinite(best[choice]):
        return None
    choices = [choice]
    for back in reversed(came_from):
        choices.append(int(back[choices[-1]]))
    return places[np.arange(len(wanted)), choices[::-1]]


def _allowed(
    places: np.ndarray, block: LabelExtent, bounds: Interval, blocked: Sequence[Interval]
) -> np.ndarray:
    low, high = places - block.before, places + block.after
    allowed = (low >= bounds[0] - _EPSILON) & (high <= bounds[1] + _EPSILON)
    for start, end in blocked:
        allowed &= (high <= start + _EPSILON) | (low >= end - _EPSILON)
    return allowed


def _two_tiers(
    axes: Sequence[float], block: LabelExtent, bounds: Interval, blocked: Sequence[Interval]
) -> RunLabelPlacement | None:
    """Odd labels near, even ones beyond: their extension lines pass between the near labels."""
    near, far = axes[::2], axes[1::2]
    passing = [(axis - SYMBOL_GAP, axis + SYMBOL_GAP) for axis in far]
    first = spread(near, block, bounds, [*blocked, *passing])
    second = spread(far, block, bounds, blocked)
    if first is None or second is None:
        return None
    at = [0.0] * len(axes)
    at[::2], at[1::2] = first, second
    return RunLabelPlacement("tiers", tuple(at), tuple(index % 2 for index in range(len(axes))))


@dataclass(frozen=True)
class Tag:
    """A label that belongs beside a symbol: the symbol's centre and half size, the label's size [mm].

    led: a line leads to it where it stands well off. over: best on the point itself, where that is free.
    """

    center: Point
    reach: float
    width: float
    height: float
    led: bool = False
    over: bool = False


@dataclass(frozen=True)
class PlacedTag:
    """Where a tag went: its box, and on which side of it the symbol is ("left", "middle", "right")."""

    box: Box
    align: str


def place_tags(
    tags: Sequence[Tag], zone: Box, solid: Sequence[Box] = (), written: Sequence[Box] = ()
) -> list[PlacedTag | None]:
    """A free place for each tag, largest first, in the order given; None: no room, make it a numbered note.

    solid: symbols and thick lines (kept 0.4 away); written: other labels (0.25). A tag placed counts as
    written for those after it, and so does the line that leads to it, which crosses no label.
    """
    sides = np.array([*(box.grown(SYMBOL_GAP) for box in solid), *(box.grown(TEXT_GAP) for box in written)])
    sides, labels = sides.reshape(-1, 4), np.array(written, dtype=float).reshape(-1, 4)
    placed: list[PlacedTag | None] = [None] * len(tags)
    for index in sorted(range(len(tags)), key=lambda i: (-tags[i].width * tags[i].height, i)):
        tag = tags[index]
        for box, align in _places(tag):
            if not zone.holds(box) or _meets_any(box, sides):
                continue
            lead = lead_boxes(tag.center, tag.reach, box) if tag.led else []
            if not any(_meets_any(part, labels) for part in lead):
                placed[index] = PlacedTag(box, align)
                sides = np.vstack([sides, box.grown(TEXT_GAP), *lead])
                labels = np.vstack([labels, box])
                break
    return placed


def lead_line(center: Point, reach: float, box: Box) -> tuple[Point, Point] | None:
    """From a symbol's edge to the nearest point of its label's box; None where that stands beside it."""
    near = (min(max(center[0], box.left), box.right), min(max(center[1], box.bottom), box.top))
    if hypot(near[0] - center[0], near[1] - center[1]) <= reach + LEAD_FROM:
        return None
    return moved(center, unit(center, near), reach), near


def lead_boxes(center: Point, reach: float, box: Box) -> list[Box]:
    """The room of that line."""
    line = lead_line(center, reach, box)
    return [] if line is None else along(*line, 0.1)


def _meets_any(box: Box, sides: np.ndarray) -> bool:
    across = (sides[:, 0] < box.right - _EPSILON) & (sides[:, 2] > box.left + _EPSILON)
    return bool(np.any(across & (sides[:, 1] < box.top - _EPSILON) & (sides[:, 3] > box.bottom + _EPSILON)))


def _places(tag: Tag) -> list[tuple[Box, str]]:
    """The eight sides, nearest ring first; before them, where a tag may, the point itself."""
    x, y, wide, high = *tag.center, tag.width / 2, tag.height / 2
    sides = [(Box(x - wide, y - high, x + wide, y + high), "middle")] if tag.over else []
    for ring in (*RINGS, *(FARTHER if tag.led else ())):
        for right, up in _PLACES:
            far = (tag.reach + ring) * (0.7071 if right and up else 1.0)
            x, y = tag.center[0] + right * far, tag.center[1] + up * far
            left = x - {1: 0.0, 0: 0.5, -1: 1.0}[right] * tag.width
            bottom = y - {1: 0.0, 0: 0.5, -1: 1.0}[up] * tag.height
            align = {1: "left", 0: "middle", -1: "right"}[right]
            sides.append((Box(left, bottom, left + tag.width, bottom + tag.height), align))
    return sides
