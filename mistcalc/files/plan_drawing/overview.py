"""What is on a drawing before anybody says what it means: its layers and blocks, a guess at each, and enough
of their lines for a picture. In the drawing's own unit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

from mistcalc.errors import InputError
from mistcalc.files.plan_drawing.layer_names import LayerMap, is_ours
from mistcalc.files.plan_drawing.shapes import (
    DEEPEST,
    MOST_SHAPES,
    OPENED,
    DrawingReader,
    Point,
    inside_of,
    layer_of,
    opened,
)

MOST_LINES = 1_500  # of one layer that are kept for a picture
FAR = 1e12  # no drawing reaches so far; nor does what is no number
ROUND = 16  # corners of a circle in it
By = Literal["layer", "block"]


@dataclass
class DrawnGroup:
    """What lies on one layer, or is a block of one name."""

    name: str
    by: By
    guess: str | None  # its role, by its name
    count: int = 0
    lines: list[tuple[Point, ...]] = field(default_factory=list)


@dataclass(frozen=True)
class DrawingOverview:
    groups: tuple[DrawnGroup, ...]  # those with a guess first, the ceiling before what is on it
    unit: str | None  # as the header says
    ours: bool  # written by mistcalc, which says itself what it holds


def overview_of(data: bytes, source: str) -> DrawingOverview:
    """Raises InputError for a file that is no DXF, too large, or without a plan in it."""
    space, unit = opened(data, source)
    looked = _Overview(source)
    looked.take(space, "", DEEPEST)
    first = {role: n for n, role in enumerate(("edge", "outline", "wall", "joist"))}
    groups = sorted(
        looked.groups.values(),
        key=lambda group: (group.guess is None, first.get(str(group.guess), 9), -group.count, group.name),
    )
    return DrawingOverview(tuple(groups), unit, any(is_ours(group.name) for group in groups))


class _Overview:
    def __init__(self, source: str) -> None:
        self.source, self.seen = source, 0
        self.names = LayerMap()
        self.reader = DrawingReader(self.names, 1.0, False, source)
        self.groups: dict[tuple[By, str], DrawnGroup] = {}

    def take(self, entities: Iterable[Any], inherited: str, deep: int) -> None:
        """As `DrawingReader.take` goes through them; a block that nothing is known of is one thing too."""
        for entity in entities:
            self.seen += 1
            if self.seen > MOST_SHAPES:
                raise InputError("drawing-huge", self.source, count=self.seen, most=MOST_SHAPES)
            kind = entity.dxftype()
            layer = layer_of(entity, inherited)
            block = entity.dxf.name if kind == "INSERT" else ""
            role = self.names.role(layer, block)
            if block and role in OPENED and deep and self.holds_known(entity):
                self.take(inside_of(entity), layer, deep - 1)
                continue
            by_block = bool(block) and (self.names.role("", block) is not None or role is None)
            key: tuple[By, str] = ("block", block) if by_block else ("layer", layer)
            group = self.groups.setdefault(key, DrawnGroup(key[1], key[0], role))
            group.count += 1
            if len(group.lines) < MOST_LINES:
                group.lines += self.lines(entity, kind, layer)

    def lines(self, entity: Any, kind: str, layer: str) -> list[tuple[Point, ...]]:
        try:
            shapes = list(self.reader.shapes_of(entity, kind, "other", layer))
        except InputError:  # not in plan: no matter while nobody says that it is to be read
            return []
        lines = (_line(shape.kind, shape.points, shape.closed) for shape in shapes)
        return [line for line in lines if all(abs(c) < FAR for point in line for c in point)]

    def holds_known(self, insert: Any) -> bool:
        """Whether a block holds a layer or a block whose name says something: a house in the drawing."""
        block = insert.block()
        return block is not None and any(
            self.names.role(layer_of(e), e.dxf.name if e.dxftype() == "INSERT" else "") for e in block
        )


def _line(kind: str, points: tuple[Point, ...], closed: bool) -> tuple[Point, ...]:
    if kind == "path":
        return (*points, points[0]) if closed else points
    (left, low), (right, high) = points
    if kind == "round":
        x, y, r = (left + right) / 2, (low + high) / 2, (right - left) / 2
        turns = (2 * math.pi * n / ROUND for n in range(ROUND + 1))
        return tuple((x + r * math.cos(turn), y + r * math.sin(turn)) for turn in turns)
    return (left, low), (right, low), (right, high), (left, high), (left, low)
