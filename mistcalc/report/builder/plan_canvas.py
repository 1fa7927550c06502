"""A view being drawn: its items, and the room they take, so that labels keep clear of all of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from mistcalc.drawing import fonts, line_geometry
from mistcalc.drawing.boxes import Box, Point, along, around
from mistcalc.drawing.labels import SYMBOL_GAP, TEXT_GAP, PlacedTag, Tag, lead_boxes, lead_line, place_tags
from mistcalc.drawing.sheet import BOLD, THIN, Dimension, Item, LineSegment, Pen, Polyline, Text, View
from mistcalc.report.builder.runs_in_plan import PlanWindow

LINE_STEP = 3.6  # from one line of a tag to the next [mm]
TAG_ROOM = 46.0  # widest line of a tag [mm]
IN_LID = ("FRAME", "JOINT", "LID", "TUBE", "OBST")  # drawn on the ground, which notes avoid, or solid


@dataclass
class PlanCanvas:
    """Points given to its methods are plan metres unless they say paper.

    `solid`: symbols and lines of 0.5 and more; `written`: labels; `ground`: the lid, which notes avoid.
    """

    view: View
    part: PlanWindow
    zone: Box | None = None  # None: a trial, to learn how much room the drawing takes
    items: list[Item] = field(default_factory=list)
    solid: list[Box] = field(default_factory=list)
    written: list[Box] = field(default_factory=list)
    ground: list[Box] = field(default_factory=list)
    datum_lines: list[Box] = field(default_factory=list)  # no number of another run's lies on one
    letters: list[Box] = field(default_factory=list)  # where a tube is fed, branched, drained and tested
    ladders: dict[str, str] = field(default_factory=dict)  # run -> how its numbers were placed
    name_reach: dict[str, float] = field(default_factory=dict)  # run -> from its tube past its names [mm]
    of_mark: dict[str, list[Box]] = field(default_factory=dict)  # mark -> its name and its number on paper
    nameless: list[str] = field(default_factory=list)  # marks whose names found no room
    unplaced_tags: list[tuple[str, ...]] = field(default_factory=list)  # tags that found no room

    def at(self, point: Point) -> Point:
        return self.view.paper(point)

    def stroke(self, start: Point, end: Point, layer: str, pen: Pen, reach: float | None = None) -> None:
        """A line as far as the window shows it. `reach`: half the width labels keep out of [mm]."""
        shown = line_geometry.clip((start, end), self.part.window)
        if shown is None:
            return
        a, b = self.at(shown[0]), self.at(shown[1])
        self.items.append(LineSegment(a, b, layer=layer, pen=pen, view=self.view))
        if reach is not None or pen.width >= BOLD.width:
            self.solid += along(a, b, pen.width / 2 if reach is None else reach)

    def symbol(self, items: Sequence[Item], reach: float = 0.0) -> None:
        """Something that stands for a thing: labels keep off its box."""
        self.items += items
        box = around(p for i in items for p in _corners(i.box()))
        self.solid.append(box.grown(reach))

    def write(self, text: Text) -> None:
        self.items.append(text)
        self.written.append(text.box())

    def free(self, box: Box) -> bool:
        return not any(box.meets(other, SYMBOL_GAP) for other in self.solid) and not any(
            box.meets(other, TEXT_GAP) for other in self.written
        )

    def extent(self) -> Box:
        """All that is drawn so far, on paper."""
        boxes = [item.box() for item in self.items] + self.ground
        return around(p for box in boxes for p in _corners(box))

    def place(self, tags: Sequence[Tag], off_lid: bool = False) -> list[PlacedTag | None]:
        """Free places for tags, `off_lid` beside the lid alone; each is taken from then on. A trial places
        none."""
        if self.zone is None:
            return [None] * len(tags)
        kept_off = [*self.solid, *(self.ground if off_lid else ())]
        placed = place_tags(tags, self.zone, kept_off, self.written)
        for tag, place in zip(tags, placed, strict=True):
            if place is not None:
                self.written += [
                    place.box,
                    *(lead_boxes(tag.center, tag.reach, place.box) if tag.led else ()),
                ]
        return placed

    def label(self, placed: PlacedTag, lines: Sequence[str], layer: str, heads: int = 1) -> None:
        """The writing of a tag in its place; the first `heads` lines bold."""
        box, align = placed.box, placed.align
        x = {"left": box.left, "middle": box.middle[0], "right": box.right}[align]
        for index, words in enumerate(lines):
            y = box.top - 1.02 * 2.5 - LINE_STEP * index
            text = Text((x, y), words, 2.5, index < heads, 0.0, align, True, layer=layer, view=self.view)
            self.items.append(text)

    def lead(self, mark: Point, reach: float, box: Box, layer: str) -> None:
        """A thin line from a symbol on paper to what stands well beside it, lest it seem another's; below all
        that is drawn, so that no name is struck through."""
        line = lead_line(mark, reach, box)
        if line is not None:
            self.items.insert(0, LineSegment(*line, layer=layer, pen=THIN, view=self.view))

    def outline(self, points: Sequence[Point], layer: str, pen: Pen, **style: object) -> Polyline:
        """A closed shape of plan points."""
        on_paper = tuple(self.at(point) for point in points)
        return Polyline(on_paper, True, layer=layer, pen=pen, view=self.view, **style)  # type: ignore[arg-type]


def lines_on(items: Iterable[Item]) -> list[Box]:
    """The room of dimensions' lines and of others that leave the lid, those that slant in pieces."""
    found: list[Box] = []
    for item in (one for one in items if one.layer not in IN_LID):
        for part in item.parts() if isinstance(item, Dimension) else (item,):
            if isinstance(part, LineSegment):
                found += along(part.start, part.end, 0.2)
            elif isinstance(part, Polyline) and not part.closed:
                found += [box for a, b in pairwise(part.points) for box in along(a, b, 0.2)]
    return found


def tag_of(center: Point, reach: float, lines: Sequence[str], heads: int = 1) -> Tag:
    """The room some lines need beside a symbol on paper."""
    wide = max(fonts.width(words, 2.5, index < heads) for index, words in enumerate(lines))
    return Tag(center, reach, wide + 0.2, LINE_STEP * (len(lines) - 1) + 3.25)


def fitted(lines: Sequence[str], heads: int = 1, room: float = TAG_ROOM) -> list[str]:
    """Lines no wider than a tag may be; names come from a file and may be anything."""
    return [fonts.fit(words, 2.5, room, index < heads) for index, words in enumerate(lines) if words]


def _corners(box: Box) -> tuple[Point, Point]:
    return (box.left, box.bottom), (box.right, box.top)
