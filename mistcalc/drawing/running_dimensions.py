"""Running dimensions of one run, all from its datum (ISO 129-1): the ladder, drawn where labels.py says.

The writing stands along the extension lines, readable from below or from the right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, radians, sin
from typing import NamedTuple

from mistcalc.drawing import fonts
from mistcalc.drawing.boxes import Box, Point, along
from mistcalc.drawing.labels import FULL, Interval, LabelExtent, RunLabelPlacement, place_ladder
from mistcalc.drawing.sheet import THIN, Dimension, Item, Text, View

BIG, SMALL = 3.5, 2.5  # capitals of the distance and of the second reading
PAST = 6.5  # from the dimension line to the writing
LIFT = 3.0  # keeps the extension line off the mark
_STRAIGHT = 1.5  # of a bent leader, before it slopes
_CLEAR = 0.8  # between leader and writing


class Rung(NamedTuple):
    """One mark: where it is on paper, its distance as a big reading and a small one beside it. alone: the big
    reading where the small one finds no room and must not be missed."""

    at: Point
    big: str
    small: str = ""
    alone: str = ""

    @property
    def width(self) -> float:
        """Of its big reading, whichever that will be."""
        return max(fonts.width(words, BIG, True) for words in (self.big, self.alone))


@dataclass(frozen=True)
class Drawn:
    """A ladder on paper: its items, how its labels were placed, and the boxes they now take."""

    items: tuple[Item, ...]
    placed: RunLabelPlacement
    taken: tuple[Box, ...]


def draw_running_dimensions(
    rungs: Sequence[Rung],
    datum: Point,
    base: Point,
    direction: float,
    outward: float,
    reach: Interval,
    blocked: Sequence[Interval] = (),
    lift: float = LIFT,
    view: View | None = None,
) -> Drawn:
    """The running dimensions of marks in the order of their distance from `datum`.

    base: any point of the dimension line; direction: from the datum along the run [deg]; outward: the way
    the writing goes, direction + 90 or - 90 [deg]. reach and blocked: stretches along the run [mm from
    the datum] the labels must keep inside and outside. lift: how far from the mark its extension line
    begins; more where names stand between the marks and the ladder.
    """
    d = _unit(direction)
    axes = [(rung.at[0] - datum[0]) * d[0] + (rung.at[1] - datum[1]) * d[1] for rung in rungs]
    turn = _readable(outward)
    up = _unit(turn + 90.0)
    second_after = -(up[0] * d[0] + up[1] * d[1]) > 0  # does the second line fall away from the datum?
    block = FULL if second_after else LabelExtent(FULL.after, FULL.before)
    placed = place_ladder(axes, reach, blocked, full=block)
    tall = max((rung.width for rung in rungs), default=0.0)
    pen = _Writer(datum, base, direction, outward, turn, view)
    items: list[Item] = []
    before = datum
    for index, (rung, axis) in enumerate(zip(rungs, axes, strict=True)):
        whole = Dimension(
            datum, rung.at, base, direction, True, before, layer="DIM-MARK", pen=THIN, view=view, lift=lift
        )
        if placed.at:
            far = PAST + placed.tier[index] * (tall + 2.0 + PAST - _STRAIGHT)
            tail = pen.leader(axis, placed.at[index], far)
            whole = replace(whole, tail=tail, writing=pen.words(rung, placed, index, far))
        items.append(whole)
        before = rung.at
    return Drawn(tuple(items), placed, tuple(_taken(items)))


def dimension(
    start: Point,
    end: Point,
    base: Point,
    direction: float,
    words: str,
    bold: bool = True,
    view: View | None = None,
) -> Dimension:
    """A plain dimension, arrows at both ends, its words in the middle of its line (a check distance)."""
    bare = Dimension(start, end, base, direction, layer="DIM-MARK", pen=THIN, view=view, lift=1.0)
    (x0, y0), (x1, y1) = bare.foot(start), bare.foot(end)
    turn = _readable(direction)
    up = _unit(turn + 90.0)
    size = SMALL
    at = ((x0 + x1) / 2 - up[0] * size / 2, (y0 + y1) / 2 - up[1] * size / 2)
    text = Text(at, words, size, bold, turn, "middle", True, layer="DIM-MARK", view=view)
    return replace(bare, writing=(text,))


@dataclass(frozen=True)
class _Writer:
    """Places things by their distance along the run and outward of the dimension line."""

    datum: Point
    base: Point
    direction: float
    outward: float
    turn: float
    view: View | None

    def place(self, axis: float, out: float) -> Point:
        d, n = _unit(self.direction), _unit(self.outward)
        level = (self.base[0] - self.datum[0]) * n[0] + (self.base[1] - self.datum[1]) * n[1]
        far = level + out
        return self.datum[0] + axis * d[0] + far * n[0], self.datum[1] + axis * d[1] + far * n[1]

    def leader(self, axis: float, shown: float, far: float) -> tuple[Point, ...]:
        if abs(shown - axis) < 1e-6:
            return (self.place(axis, far - _CLEAR),)
        bend = far - PAST + _STRAIGHT
        return self.place(axis, bend), self.place(shown, far - _CLEAR)

    def words(self, rung: Rung, placed: RunLabelPlacement, index: int, far: float) -> tuple[Text, ...]:
        up = _unit(self.turn + 90.0)
        align = "left" if abs(_readable(self.outward) - self.outward) % 360 < 1e-6 else "right"
        x, y = self.place(placed.at[index], far)
        both = placed.how in ("axis", "moved")
        lines = [(rung.big if both else rung.alone or rung.big, BIG, True, BIG / 2)]
        if both and rung.small:
            lines.append((rung.small, SMALL, False, 5.8))
        mask = placed.how != "tiers"  # there the lines of the far tier pass close by
        return tuple(
            Text(
                (x - up[0] * down, y - up[1] * down), words, height, bold, self.turn, align, mask,
                layer="DIM-MARK", view=self.view,
            )
            for words, height, bold, down in lines
        )  # fmt: skip


def _taken(items: Sequence[Item]) -> list[Box]:
    """Boxes over writing and leaders, so that the gaps between labels stay free."""
    boxes: list[Box] = []
    for item in items:
        if isinstance(item, Dimension):
            boxes += [box for text in item.writing for box in text.boxes()]
            path = [item.foot(item.end), *item.tail]
            boxes += [box for a, b in pairwise(path) for box in along(a, b, 0.2)]
            boxes += along(item.foot(item.stretch_from or item.start), item.foot(item.end), 0.7)
    return boxes


def _readable(degrees: float) -> float:
    """The same line of writing, turned so that it reads from below or from the right: in (-90, 90]."""
    turned = (degrees + 180.0) % 360.0 - 180.0
    if turned > 90.0 + 1e-9:
        return turned - 180.0
    return turned + 180.0 if turned <= -90.0 + 1e-9 else turned


def _unit(degrees: float) -> Point:
    return cos(radians(degrees)), sin(radians(degrees))
