"""What the line diagram is drawn on: items, and the room they take, so that labels keep clear of it."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field

from mistcalc.drawing import fonts
from mistcalc.drawing.boxes import Box, Point, along, around
from mistcalc.drawing.labels import SYMBOL_GAP, TEXT_GAP, Tag, place_tags
from mistcalc.drawing.sheet import BOLD, Item, LineSegment, Pen, Polyline, Text


@dataclass
class DiagramCanvas:
    """Paper millimetres. `solid`: symbols and lines that writing keeps off; `written`: writing."""

    room: Box
    items: list[Item] = field(default_factory=list)
    solid: list[Box] = field(default_factory=list)
    written: list[Box] = field(default_factory=list)

    def stroke(self, start: Point, end: Point, pen: Pen = BOLD, layer: str = "TUBE") -> None:
        self.items.append(LineSegment(start, end, layer=layer, pen=pen))
        self.solid += along(start, end, pen.width / 2)

    def path(self, points: Sequence[Point], pen: Pen, layer: str = "NOTE") -> None:
        self.items.append(Polyline(tuple(points), layer=layer, pen=pen))
        for start, end in itertools.pairwise(points):
            self.solid += along(start, end, pen.width / 2)

    def sign(self, items: Sequence[Item]) -> None:
        self.items += items
        self.solid.append(around(p for i in items for p in ((i.box()[:2]), (i.box()[2:]))))

    def write(self, text: Text) -> None:
        self.items.append(text)
        self.written.append(text.box())

    def free(self, box: Box) -> bool:
        return self.room.holds(box) and not (
            any(box.meets(other, SYMBOL_GAP) for other in self.solid)
            or any(box.meets(other, TEXT_GAP) for other in self.written)
        )

    def write_free(self, text: Text) -> bool:
        """Writing where it is wanted, if nothing is there."""
        if not self.free(text.box()):
            return False
        self.write(text)
        return True

    def label(self, at: Point, reach: float, words: str, height: float = 2.5, bold: bool = False) -> bool:
        """Writing beside a point, on whichever side is free; False: nowhere."""
        wide = fonts.width(fonts.clean(words), height, bold)
        (placed,) = place_tags([Tag(at, reach, wide, 1.3 * height)], self.room, self.solid, self.written)
        if placed is None:
            return False
        base = (placed.box.left, placed.box.bottom + 0.28 * height)
        self.write(Text(base, words, height, bold, mask=True, layer="NOTE"))
        return True


def longest(tries: Sequence[str], room: float, height: float = 2.5, bold: bool = False) -> str:
    """The first of some ways to say a thing that has room; the last, cut, where none has."""
    first_fit = next(
        (words for words in tries if fonts.width(fonts.clean(words), height, bold) <= room), None
    )
    return first_fit if first_fit is not None else fonts.fit(tries[-1], height, room, bold)
