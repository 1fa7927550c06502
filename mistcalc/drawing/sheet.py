"""One sheet of paper, the same for every writer: frozen primitives in paper millimetres.

x runs right and y up from the lower left corner of the sheet. What shows a thing of the real world also
names the `View` it belongs to (scale, and where on the paper the model's origin lies), so that the DXF
writer can put it at true size while SVG and PDF simply draw millimetres. Writers may only draw: what is
on a sheet, where, and in which order, is decided here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, hypot, radians, sin
from typing import NamedTuple

from mistcalc.drawing import fonts
from mistcalc.drawing.boxes import Box, Point, along, around
from mistcalc.drawing.line_geometry import hatch_lines

LAYERS = (
    "MARK", "MARK-NAME", "DIM-MARK", "DATUM", "TUBE", "FRAME", "JOINT",
    "OBST", "BLOCKED", "WALL", "LID", "NOTE", "WARN", "SHEET",
)  # fmt: skip
THIN_BELOW = 0.5  # mm: lines from here on are never crossed by a text
MASK = 0.6  # mm of white round a text that crosses a thin line
BLACK, WHITE = "#000000", "#ffffff"
_CUT = frozenset({"DIM-MARK", "TUBE", "FRAME", "JOINT", "WALL", "LID", "DATUM", "MARK-NAME", "WARN"})


class Pen(NamedTuple):
    """A line: width [mm], dash pattern [mm on, mm off, ...] or none, colour."""

    width: float = 0.25
    dash: tuple[float, ...] = ()
    ink: str = BLACK


HEAVY, BOLD, MEDIUM, THIN, FINE = Pen(0.7), Pen(0.5), Pen(0.35), Pen(0.25), Pen(0.18)
TUBE_PEN = Pen(0.5, (5, 1.5))
JOIST_PEN = Pen(0.18, (3, 1.2))
JOINT_PEN = Pen(0.35, (10, 1.5, 0.6, 1.5, 0.6, 1.5))
SWEEP_PEN = Pen(0.35, (3, 1.2))


@dataclass(frozen=True)
class View:
    """A drawing of real things on the sheet: scale 48 means 1:48; `origin` is the model's (0, 0) on paper."""

    name: str
    scale: float
    origin: Point = (0.0, 0.0)

    def paper(self, point: Point) -> Point:
        """Model metres to paper millimetres."""
        return (
            self.origin[0] + 1000.0 * point[0] / self.scale,
            self.origin[1] + 1000.0 * point[1] / self.scale,
        )

    def length(self, metres: float) -> float:
        """A length in model metres as paper millimetres."""
        return 1000.0 * metres / self.scale


@dataclass(frozen=True, kw_only=True)
class _Item:
    """What every primitive has: layer, pen, the view it belongs to (None: paper only)."""

    layer: str = "SHEET"
    pen: Pen = THIN
    view: View | None = None

    def __post_init__(self) -> None:
        if self.layer not in LAYERS:
            raise ValueError(f"no layer {self.layer!r}")


@dataclass(frozen=True)
class LineSegment(_Item):
    start: Point
    end: Point

    def box(self) -> Box:
        return around((self.start, self.end)).grown(self.pen.width / 2)


class Hatch(NamedTuple):
    """Parallel lines: spacing [mm], direction [degrees from the x axis]."""

    spacing: float = 1.5
    angle: float = 45.0
    pen: Pen = FINE


@dataclass(frozen=True)
class Polyline(_Item):
    """Straight pieces; closed ones may be filled or hatched. A pen of width 0 draws no outline."""

    points: tuple[Point, ...]
    closed: bool = False
    fill: str | None = None
    hatch: Hatch | None = None

    def box(self) -> Box:
        return around(self.points).grown(self.pen.width / 2)

    def hatch_lines(self) -> tuple[tuple[Point, Point], ...]:
        """The lines of the hatch, clipped to the outline (even-odd where it crosses itself)."""
        if self.hatch is None:
            return ()
        return tuple(hatch_lines(self.points, self.hatch.spacing, radians(self.hatch.angle)))


@dataclass(frozen=True)
class Circle(_Item):
    center: Point
    radius: float
    fill: str | None = None

    def box(self) -> Box:
        return around((self.center,)).grown(self.radius + self.pen.width / 2)


@dataclass(frozen=True)
class Arc(_Item):
    """Anticlockwise from `first` to `last` [degrees]."""

    center: Point
    radius: float
    first: float
    last: float

    def box(self) -> Box:
        return around((self.center,)).grown(self.radius + self.pen.width / 2)


@dataclass(frozen=True)
class Text(_Item):
    """One line of writing: `height` of its capitals [mm], `turn` [degrees], `align` at its baseline point.

    The writing is cleaned when the text is made (fonts.clean). `mask` cuts the thin lines under it.
    """

    at: Point
    text: str
    height: float = 2.5
    bold: bool = False
    turn: float = 0.0
    align: str = "left"  # left, middle, right
    mask: bool = False

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.align not in ("left", "middle", "right"):
            raise ValueError(f"no alignment {self.align!r}")
        object.__setattr__(self, "text", fonts.clean(self.text))

    @property
    def width(self) -> float:
        return fonts.width(self.text, self.height, self.bold)

    @property
    def start(self) -> Point:
        """The left end of the baseline."""
        back = {"left": 0.0, "middle": 0.5, "right": 1.0}[self.align] * self.width
        return self.at[0] - back * cos(radians(self.turn)), self.at[1] - back * sin(radians(self.turn))

    def corners(self, gap: float = 0.0) -> tuple[Point, ...]:
        """The label rectangle (1.02 h above the baseline, 0.28 h below), grown by `gap`, turned."""
        c, s = cos(radians(self.turn)), sin(radians(self.turn))
        x, y = self.start
        low, high = -0.28 * self.height - gap, 1.02 * self.height + gap
        flat = ((-gap, low), (self.width + gap, low), (self.width + gap, high), (-gap, high))
        return tuple((x + c * u - s * v, y + s * u + c * v) for u, v in flat)

    def box(self) -> Box:
        return around(self.corners())

    def boxes(self) -> list[Box]:
        """What it takes, as its `box`; of a slanting one a chain along its middle: the rest stays free."""
        low, right, high, left = self.corners()
        start, end = _between(low, left, 0.5), _between(right, high, 0.5)
        across = abs(cos(radians(self.turn))) + abs(
            sin(radians(self.turn))
        )  # a square's reach across the slant
        chain = along(start, end, 0.65 * self.height / across, 1.0)
        return chain if len(chain) > 1 else [self.box()]


@dataclass(frozen=True)
class Dimension(_Item):
    """A distance between two measured points, with the words to print beside it.

    The dimension line runs through `base` at `angle` [degrees]; the distance is what lies between
    `start` and `end` in that direction. A running dimension (ISO 129-1) draws only the stretch from
    `stretch_from` (default: start) with one arrow, at `end`. `tail` is the rest of the extension line of
    `end`, past the dimension line to the writing: its corners in order, so a label that had to move
    gets its bent leader.
    """

    start: Point
    end: Point
    base: Point
    angle: float = 0.0
    running: bool = False
    stretch_from: Point | None = None
    tail: tuple[Point, ...] = ()
    writing: tuple[Text, ...] = ()
    lift: float = 0.0  # gap between a measured point and its extension line [mm]

    @property
    def text(self) -> str:
        return self.writing[0].text if self.writing else ""

    @property
    def measured(self) -> float:
        """The distance on paper [mm]."""
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        return abs(dx * cos(radians(self.angle)) + dy * sin(radians(self.angle)))

    def foot(self, point: Point) -> Point:
        """Where the extension line of a measured point meets the dimension line."""
        c, s = cos(radians(self.angle)), sin(radians(self.angle))
        far = (point[0] - self.base[0]) * c + (point[1] - self.base[1]) * s
        return self.base[0] + far * c, self.base[1] + far * s

    def parts(self) -> tuple[LineSegment | Polyline | Text, ...]:
        """What it looks like, as simpler primitives; the same in every writer."""
        first, last = self.foot(self.start), self.foot(self.end)
        begin = self.foot(self.stretch_from) if self.stretch_from is not None else first
        drawn: list[LineSegment | Polyline | Text] = [*self._stretch(begin, last)]
        drawn += [self._arrow(begin, last)] if begin != last else []
        if not self.running:
            drawn += [self._arrow(last, first)] if begin != last else []
            drawn += self._extension(self.start, first, ())
        drawn += self._extension(self.end, last, self.tail)
        return (*drawn, *self.writing)

    def box(self) -> Box:
        return around(point for part in self.parts() for point in _corner_points(part.box()))

    def _stretch(self, start: Point, end: Point) -> list[LineSegment | Polyline | Text]:
        """The dimension line, broken where the words of a plain dimension stand on it."""
        whole = hypot(end[0] - start[0], end[1] - start[1])
        if whole == 0:
            return []
        ends = [(0.0, whole)]
        if not self.running and self.writing:
            text = self.writing[0]
            c, s = (end[0] - start[0]) / whole, (end[1] - start[1]) / whole
            corners = text.corners(MASK)
            across = [(y - start[1]) * c - (x - start[0]) * s for x, y in corners]
            reach = [(x - start[0]) * c + (y - start[1]) * s for x, y in corners]
            if min(across) < 0 < max(across):
                ends = [(0.0, min(reach)), (max(reach), whole)]
        pieces = [
            (_between(start, end, a / whole), _between(start, end, b / whole)) for a, b in ends if a < b
        ]
        return [LineSegment(*piece, layer=self.layer, pen=self.pen, view=self.view) for piece in pieces]

    def _extension(
        self, point: Point, foot: Point, tail: tuple[Point, ...]
    ) -> list[LineSegment | Polyline | Text]:
        far = hypot(foot[0] - point[0], foot[1] - point[1])
        if far <= self.lift and not tail:
            return []
        share = self.lift / far if far > self.lift else 1.0
        past = 1.5 / far if far > 0 and not tail else 0.0  # ISO 129-1: a little beyond the dimension line
        ends = (_between(point, foot, share), _between(point, foot, 1.0 + past))
        return [Polyline((*ends, *tail), layer=self.layer, pen=self.pen, view=self.view)]

    def _arrow(self, from_: Point, tip: Point) -> Polyline:
        back = atan2(from_[1] - tip[1], from_[0] - tip[0])
        wings = tuple((tip[0] + 2.0 * cos(back + a), tip[1] + 2.0 * sin(back + a)) for a in (-0.22, 0.22))
        pen = Pen(0, (), self.pen.ink)
        return Polyline((tip, *wings), True, self.pen.ink, layer=self.layer, pen=pen, view=self.view)


Item = LineSegment | Polyline | Circle | Arc | Text | Dimension
Simple = LineSegment | Polyline | Circle | Arc | Text


@dataclass(frozen=True)
class Sheet:
    """One page. `number` ("R-1") and `title` also name it inside PDF and DXF."""

    width: float
    height: float
    items: tuple[Item, ...]
    title: str = ""
    number: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "title", fonts.clean(self.title))
        object.__setattr__(self, "number", fonts.clean(self.number))
        for item in self.items:
            item.box()  # refuses what has no place: no writer has to

    def painted(self) -> Iterator[tuple[str, Simple]]:
        """("draw" | "mask", primitive) in the order of painting, dimensions taken apart.

        Thin lines that a text may cut come first, then the white boxes of masked texts, then all other
        lines and fills in their own order, then all writing: so a mask never bites into a thick line,
        a symbol or another label.
        """
        thin: list[Simple] = []
        firm: list[Simple] = []
        writing: list[Text] = []
        for item in self.primitives():
            if isinstance(item, Text):
                writing.append(item)
            else:
                (thin if _may_be_cut(item) else firm).append(item)
        yield from (("draw", item) for item in thin)
        yield from (("mask", item) for item in writing if item.mask)
        yield from (("draw", item) for item in firm)
        yield from (("draw", item) for item in writing)

    def primitives(self) -> Iterator[Simple]:
        """All primitives, dimensions taken apart."""
        for item in self.items:
            if isinstance(item, Dimension):
                yield from item.parts()
            else:
                yield item


def _may_be_cut(item: Simple) -> bool:
    return item.layer in _CUT and item.pen.width < THIN_BELOW and getattr(item, "fill", None) is None


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _corner_points(box: Box) -> tuple[Point, Point]:
    return (box.left, box.bottom), (box.right, box.top)
