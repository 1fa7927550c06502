"""Where the sun stands over the plan: the middle is straight up, the ring the horizon."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import atan2, cos, dist, pi, sin

from mistcalc.drawing import boxes, fonts, text_and_tables
from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.drawing.sheet import BLACK, FINE, MEDIUM, THIN, Item, LineSegment, Polyline, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Design, PatioSun
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.printed_plan import PrintedPlan
from mistcalc.units import COMPASS_POINTS

LEAST, MOST = 40.0, 72.0  # mm, the picture's side
LETTERS = 5.0  # mm round the ring
PLAN = 1.25  # longer side of the plan, of the ring's radius
HOUR = 2.5  # mm, letters of an hour
LINE = 0.4  # mm, what a line takes to either side
ASIDE = 3.0  # mm, from a diamond's middle to its hour
HALF = 1.6  # mm, of a diamond: a small circle is only ever a mark


def sun_over_plan(design: Design, sun: PatioSun, cells: Box, room: Box, locale: Locale) -> list[Item]:
    """The picture with its numbers beside it; nothing where the page has no room left."""
    if not sun.maps or room.height < LEAST:
        return []
    side = min(room.height, MOST)
    ring = side / 2 - LETTERS
    middle = room.left + side / 2, room.top - side / 2
    north = design.project.heading(sun.patio)
    items = [*_ring(middle, ring, north, locale)]
    tall = min(PLAN * ring, PLAN * ring * cells.height / cells.width)
    wide = tall * cells.width / cells.height
    corner = middle[0] - wide / 2 - 1.0, middle[1] + tall / 2 + 1.0
    plan = PrintedPlan(design.layout_of(sun.patio), design.line, cells, (), corner, wide + 2.0, tall)
    drawn = plan.items(sun.maps[0].lit < 0.0, sun.inside, ())
    items += drawn
    places = []
    for moment in sun.maps:
        away, turn = ring * (1.0 - 2.0 * moment.height / pi), moment.toward + pi
        places.append((middle[0] + away * cos(turn), middle[1] + away * sin(turn)))
    items.append(Polyline(tuple(places), layer="NOTE", pen=THIN))
    for at in places:
        items += _diamond(at)
    taken = [around((at,)).grown(HALF) for at in places]
    lines = [piece for item in drawn for piece in _along(item)]
    last = len(places) - 1
    for n in sorted({0, last}):  # those between would stand on each other
        clock = locale.number(sun.maps[n].clock, "clock")
        spots = _round_about(places[n], places[last - n], clock)
        spot = min(spots, key=lambda box: _in_the_way(box, taken, lines, middle, ring))
        taken.append(spot)
        items.append(
            Text((spot.middle[0], spot.bottom), clock, HOUR, True, align="middle", mask=True, layer="NOTE")
        )
    told = [text_and_tables.heading(locale.label("sun.path"), 2.5, rule=False)]
    told += [Paragraph(locale.label("sun.path_meant"), before=1.2)]
    beside = Box(room.left + side + 6.0, room.top - side, room.right, room.top)
    return [*items, *text_and_tables.flow_text(told, [beside]).items]


def _round_about(at: Point, other: Point, clock: str) -> list[Box]:
    """Where the hour of a diamond can stand, best first: on along the sun's way, then turned from it."""
    wide, on = fonts.width(clock, HOUR, True) / 2, atan2(at[1] - other[1], at[0] - other[0])
    spots = []
    for turn in (on + n * pi / 8 for n in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6)):
        far = 1.0 / max(abs(cos(turn)), abs(sin(turn)))  # round a square: as clear of it at its corners
        x = at[0] + (ASIDE + wide) * cos(turn) * far
        y = at[1] + (ASIDE + HOUR / 2) * sin(turn) * far
        spots.append(Box(x - wide, y - HOUR / 2, x + wide, y + HOUR / 2))
    return spots


def _along(item: Item) -> list[Box]:
    if isinstance(item, LineSegment):
        return boxes.along(item.start, item.end, LINE)
    if isinstance(item, Polyline):
        return [box for a, b in pairwise((*item.points, item.points[0])) for box in boxes.along(a, b, LINE)]
    return [item.box()]


def _in_the_way(spot: Box, taken: Sequence[Box], lines: Sequence[Box], middle: Point, ring: float) -> int:
    """How ill a place is for letters: on the ring, then on a sign, then on a line of the plan."""
    across = max(dist(corner, middle) for corner in spot.corners) > ring - 0.5
    return 4 * across + 2 * any(map(spot.meets, taken)) + any(map(spot.meets, lines))


def _ring(middle: Point, radius: float, north: float, locale: Locale) -> list[Item]:
    steps = [2 * pi * n / 72 for n in range(72)]
    points = tuple((middle[0] + radius * cos(a), middle[1] + radius * sin(a)) for a in steps)
    items: list[Item] = [Polyline(points, True, layer="NOTE", pen=FINE)]
    for n, point in enumerate(COMPASS_POINTS[::2]):
        turn = north - n * pi / 2
        at = middle[0] + (radius + 2.4) * cos(turn), middle[1] + (radius + 2.4) * sin(turn)
        letter = locale.label(f"told.side_{point}")
        items.append(Text((at[0], at[1] - 1.0), letter, 2.5, True, align="middle", layer="NOTE"))
    return items


def _diamond(at: Point) -> list[Item]:
    around = ((HALF, 0.0), (0.0, HALF), (-HALF, 0.0), (0.0, -HALF))
    return [Polyline(tuple((at[0] + x, at[1] + y) for x, y in around), True, BLACK, layer="NOTE", pen=MEDIUM)]
