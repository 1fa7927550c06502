"""The signs of a sheet, in paper millimetres. A small circle is always and only a mark.

Each function returns primitives; none knows what it stands for beyond its sign. Directions are unit
vectors or degrees on paper. `view` is the view the sign belongs to, None for a legend or a table.
Boxes and hexagons are 0.5 so that a copy of a copy at 65 % keeps them. Black on white throughout: worse is
heavier, not redder.
"""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, hypot, radians, sin

from mistcalc.drawing import fonts
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.sheet import (
    BLACK,
    BOLD,
    HEAVY,
    JOINT_PEN,
    MEDIUM,
    SWEEP_PEN,
    THIN,
    WHITE,
    Circle,
    Item,
    LineSegment,
    Pen,
    Polyline,
    Text,
    View,
)

_NO_OUTLINE = Pen(0)


def mark(at: Point, drilled: bool = False, locked: bool = False, view: View | None = None) -> list[Item]:
    """A hole to drill: circle 3, cross 5. Filled: drilled. In a square 4.5: locked."""
    x, y = at
    signs: list[Item] = [
        Circle(at, 1.5, BLACK if drilled else WHITE, layer="MARK", pen=BOLD, view=view),
        LineSegment((x - 2.5, y), (x + 2.5, y), layer="MARK", pen=THIN, view=view),
        LineSegment((x, y - 2.5), (x, y + 2.5), layer="MARK", pen=THIN, view=view),
    ]
    if locked:
        signs.append(_rectangle(at, 4.5, 4.5, "MARK", MEDIUM, None, view))
    return signs


def joist_bar(at: Point, width: float, along: float = 0.0, view: View | None = None) -> list[Item]:
    """A member crossed by the tube: solid, its true width by 4.8; `along` is the tube's direction [deg]."""
    return [_rectangle(at, width, 4.8, "FRAME", _NO_OUTLINE, BLACK, view, along)]


def joint(start: Point, end: Point, view: View | None = None) -> list[Item]:
    """A control joint: long dash, dot, dot."""
    return [LineSegment(start, end, layer="JOINT", pen=JOINT_PEN, view=view)]


def light(at: Point, view: View | None = None) -> list[Item]:
    """A light: square 4 with the letter L in strokes; with diagonals it would be an air diffuser."""
    x, y = at
    letter = ((x - 0.65, y + 1.2), (x - 0.65, y - 1.2), (x + 0.75, y - 1.2))
    return [
        _rectangle(at, 4.0, 4.0, "OBST", MEDIUM, WHITE, view),
        Polyline(letter, layer="OBST", pen=MEDIUM, view=view),
    ]


def fan(at: Point, sweep: float, view: View | None = None) -> list[Item]:
    """A ceiling fan: its sweep (radius) dashed, three blades; no hub, which would read as a mark."""
    signs: list[Item] = [Circle(at, sweep, layer="OBST", pen=SWEEP_PEN, view=view)]
    half = min(max(0.045 * sweep, 0.4), 1.2)
    for turn in (90.0, 210.0, 330.0):
        corners = (
            (0.06 * sweep, -half / 2),
            (0.94 * sweep, -half),
            (0.94 * sweep, half),
            (0.06 * sweep, half / 2),
        )
        blade = tuple(_turned(at, u, v, turn) for u, v in corners)
        signs.append(Polyline(blade, True, WHITE, layer="OBST", pen=MEDIUM, view=view))
    return signs


def post(at: Point, width: float, depth: float, turn: float = 0.0, view: View | None = None) -> list[Item]:
    """A post: solid, true size, never under 0.8 so that a copier keeps it."""
    return [_rectangle(at, max(width, 0.8), max(depth, 0.8), "OBST", _NO_OUTLINE, BLACK, view, turn)]


def obstacle(
    at: Point, width: float, depth: float, turn: float = 0.0, view: View | None = None
) -> list[Item]:
    """Any other thing: its true outline."""
    return [_rectangle(at, width, depth, "OBST", MEDIUM, WHITE, view, turn)]


def datum(tip: Point, points: float, view: View | None = None) -> list[Item]:
    """Where to hook the tape: a solid triangle 6 by 8, tip on the surface, pointing along `points` [deg]."""
    corners = tuple(_turned(tip, u, v, points) for u, v in ((0.0, 0.0), (-6.0, -4.0), (-6.0, 4.0)))
    return [Polyline(corners, True, BLACK, layer="DATUM", pen=_NO_OUTLINE, view=view)]


def origin(at: Point, view: View | None = None) -> list[Item]:
    """Where the running dimensions start: ring 3 (ISO 129-1)."""
    return [Circle(at, 1.5, WHITE, layer="DIM-MARK", pen=MEDIUM, view=view)]


def letter_box(at: Point, letter: str, view: View | None = None, layer: str = "TUBE") -> list[Item]:
    """F feed, D drain, T test: a box 5.2 with its letter."""
    return [
        _rectangle(at, 5.2, 5.2, layer, BOLD, WHITE, view),
        _centred(at, letter, 2.5, layer, view),
    ]


def warning(at: Point, number: int | str, view: View | None = None) -> list[Item]:
    """Look here: a hexagon 6 across its flats with the number of its note, larger for three figures and more.

    Not a triangle: a triangle with a number is a revision mark to a drafter.
    """
    x, y = at
    half = 3.0 + 0.9 * max(0, len(str(number)) - 2)
    out = half / cos(radians(30.0))
    corners = tuple((x + out * cos(radians(60.0 * n)), y + out * sin(radians(60.0 * n))) for n in range(6))
    return [
        Polyline(corners, True, WHITE, layer="WARN", pen=BOLD, view=view),
        _centred(at, str(number), 2.5, "WARN", view),
    ]


_ARC = 1.2  # half the chord of a cloud's arcs [mm]
CLOUD_BULGE = 0.7  # they reach so far out of its box [mm]


def revision(at: Point, letter: str, view: View | None = None, tall: float = 6.2) -> list[Item]:
    """A revision's letter in a triangle; `at`: the middle of its box. Wider for a longer letter."""
    x, y = at
    half = 0.66 * tall * max(1.0, 0.75 * len(letter))
    low = y - tall / 2
    corners = ((x - half, low), (x + half, low), (x, low + tall))
    return [
        Polyline(corners, True, WHITE, layer="NOTE", pen=MEDIUM, view=view),
        _centred((x, low + 1.9), letter, 2.5, "NOTE", view),
    ]


def cloud(box: Box, view: View | None = None) -> list[Item]:
    """A line of arcs that bulge outward round a box: what a revision changed."""
    points: list[Point] = []
    for (x0, y0), (x1, y1) in pairwise((*box.corners, box.corners[0])):
        length = hypot(x1 - x0, y1 - y0)
        count = max(1, round(length / (2 * _ARC)))
        ahead = ((x1 - x0) / length, (y1 - y0) / length)
        half = length / count / 2
        for n in range(count):
            middle = (x0 + ahead[0] * half * (2 * n + 1), y0 + ahead[1] * half * (2 * n + 1))
            for step in range(8):  # outward is right of the way round, anticlockwise
                turn = radians(180.0 - 22.5 * step)
                along, out = half * cos(turn), CLOUD_BULGE * sin(turn)
                points.append(
                    (
                        middle[0] + ahead[0] * along + ahead[1] * out,
                        middle[1] + ahead[1] * along - ahead[0] * out,
                    )
                )
    return [Polyline(tuple(points), True, layer="NOTE", pen=BOLD, view=view)]


def alert(at: Point, tall: float = 6.0) -> list[Item]:
    """The warning sign of ISO 3864-1 in outline: a triangle with an exclamation mark; `at`: its middle."""
    x, y = at
    half, low = tall / 3.0**0.5, y - tall / 2
    corners = ((x - half, low), (x + half, low), (x, low + tall))
    stroke = ((x - 0.35, low + 0.68 * tall), (x + 0.35, low + 0.68 * tall), (x, low + 0.32 * tall))
    return [
        Polyline(corners, True, WHITE, layer="WARN", pen=HEAVY),
        Polyline(stroke, True, BLACK, layer="WARN", pen=THIN),
        _rectangle((x, low + 0.19 * tall), 0.7, 0.7, "WARN", _NO_OUTLINE, BLACK, None),
    ]


def stop(at: Point, number: int | str, word: str, view: View | None = None) -> list[Item]:
    """A hole that must not be drilled as it stands: a black tag, white word and number."""
    words = f"{word} {number}"
    width = fonts.width(fonts.clean(words), 2.5, True) + 2.4
    return [
        _rectangle(at, width, 4.6, "WARN", _NO_OUTLINE, BLACK, view),
        _centred(at, words, 2.5, "WARN", view, WHITE),
    ]


def tick_box(at: Point, side: float = 4.8, full: float = 0.0, view: View | None = None) -> list[Item]:
    """A box to tick; `full` fills it from below (0 empty, 0.5 half, 1 whole)."""
    signs: list[Item] = [_rectangle(at, side, side, "SHEET", BOLD, WHITE, view)]
    if full > 0:
        middle = (at[0], at[1] - side * (1 - full) / 2)
        signs.append(_rectangle(middle, side, side * full, "SHEET", _NO_OUTLINE, BLACK, view))
    return signs


def blocked(
    start: Point, end: Point, toward: float, depth: float = 2.0, view: View | None = None
) -> list[Item]:
    """A stretch where no mark may go: a bracket of its true length, legs turned `toward` [deg] the line."""
    dx, dy = depth * cos(radians(toward)), depth * sin(radians(toward))
    legs = ((start[0] + dx, start[1] + dy), start, end, (end[0] + dx, end[1] + dy))
    return [Polyline(legs, layer="BLOCKED", pen=MEDIUM, view=view)]


def range_shape(
    y: float,
    low: float,
    quarter: float,
    three_quarters: float,
    high: float,
    half: float = 2.6,
    solid: bool = False,
) -> list[Item]:
    """A range: points at the 10 and 90 % values, full height from the 25 to the 75 % value [x on paper].

    Solid is what we would run. No dot and no bar from nought: there is no single number in it.
    """
    if not low <= quarter <= three_quarters <= high:
        raise ValueError(f"a range must rise: {low}, {quarter}, {three_quarters}, {high}")
    top = ((low, y), (quarter, y + half), (three_quarters, y + half), (high, y))
    points = (*top, (three_quarters, y - half), (quarter, y - half))
    return [Polyline(points, True, BLACK if solid else WHITE, layer="NOTE", pen=BOLD)]


def north(at: Point, turn: float = 0.0, letter: str = "N", view: View | None = None) -> list[Item]:
    """An arrow 12 long to north; `turn` [deg] anticlockwise from up the sheet. `at` is its foot."""

    def place(u: float, v: float) -> Point:
        return _turned(at, u, v, turn + 90.0)

    head = (place(12, 0), place(8.8, 1.1), place(8.8, -1.1))
    x, y = place(15.0, 0)
    return [
        LineSegment(at, place(9, 0), layer="NOTE", pen=MEDIUM, view=view),
        Polyline(head, True, BLACK, layer="NOTE", pen=_NO_OUTLINE, view=view),
        Text((x, y - 1.75), letter, 3.5, True, 0.0, "middle", layer="NOTE", view=view),
    ]


def arrow(start: Point, end: Point, layer: str = "NOTE", view: View | None = None) -> list[Item]:
    """A leader with its head at `end`."""
    back = atan2(start[1] - end[1], start[0] - end[0])
    wings = tuple((end[0] + 2 * cos(back + a), end[1] + 2 * sin(back + a)) for a in (-0.22, 0.22))
    return [
        LineSegment(start, end, layer=layer, pen=THIN, view=view),
        Polyline((end, *wings), True, BLACK, layer=layer, pen=_NO_OUTLINE, view=view),
    ]


def valve(at: Point, view: View | None = None) -> list[Item]:
    """A valve on a level tube: two triangles tip to tip, 5 by 3.2."""
    x, y = at
    corners = ((x - 2.5, y - 1.6), (x + 2.5, y + 1.6), (x + 2.5, y - 1.6), (x - 2.5, y + 1.6))
    return [Polyline(corners, True, WHITE, layer="TUBE", pen=MEDIUM, view=view)]


def check_valve(at: Point, forward: bool = True, view: View | None = None) -> list[Item]:
    """A check valve on a level tube: a triangle against a bar; water goes to the right, if forward."""
    x, y = at
    to = 1.0 if forward else -1.0
    corners = ((x - 2.0 * to, y - 1.6), (x - 2.0 * to, y + 1.6), (x + 1.6 * to, y))
    return [
        Polyline(corners, True, WHITE, layer="TUBE", pen=MEDIUM, view=view),
        LineSegment((x + 1.8 * to, y - 1.8), (x + 1.8 * to, y + 1.8), layer="TUBE", pen=MEDIUM, view=view),
    ]


def junction(at: Point) -> list[Item]:
    """Where tubes join: a small solid square; a circle would be a mark."""
    return [_rectangle(at, 1.3, 1.3, "TUBE", _NO_OUTLINE, BLACK, None)]


def value_box(at: Point, words: str, height: float = 3.5) -> list[Item]:
    """A number to be read on a gauge, in a box of 0.5; `at` is its middle."""
    wide = fonts.width(fonts.clean(words), height, True) + 2.4
    return [
        _rectangle(at, wide, height + 2.5, "TUBE", BOLD, WHITE, None),
        _centred(at, words, height, "TUBE", None),
    ]


def frame_box(at: Point, width: float, height: float) -> list[Item]:
    """A box of the heaviest line round something that must be seen first, a status or a hold point."""
    return [_rectangle(at, width, height, "SHEET", HEAVY, None, None)]


def _rectangle(
    at: Point,
    width: float,
    height: float,
    layer: str,
    pen: Pen,
    fill: str | None,
    view: View | None,
    turn: float = 0.0,
) -> Polyline:
    u, v = width / 2, height / 2
    corners = tuple(_turned(at, a, b, turn) for a, b in ((-u, -v), (u, -v), (u, v), (-u, v)))
    return Polyline(corners, True, fill, layer=layer, pen=pen, view=view)


def _centred(at: Point, words: str, height: float, layer: str, view: View | None, ink: str = BLACK) -> Text:
    """Bold capitals whose middle is at a point."""
    base = (at[0], at[1] - height / 2)
    return Text(base, words, height, True, 0.0, "middle", layer=layer, pen=THIN._replace(ink=ink), view=view)


def _turned(at: Point, u: float, v: float, degrees: float) -> Point:
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return at[0] + c * u - s * v, at[1] + s * u + c * v
