"""Where the sun stands over the plan: the middle is straight up, the ring the horizon."""

from __future__ import annotations

from math import cos, dist, pi, sin

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.sheet import BLACK, FINE, MEDIUM, THIN, Item, Polyline, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Design, PatioSun
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.printed_plan import PrintedPlan
from mistcalc.units import COMPASS_POINTS

LEAST, MOST = 40.0, 72.0  # mm, the picture's side
LETTERS = 5.0  # mm round the ring
PLAN = 1.25  # longer side of the plan, of the ring's radius
ASIDE = 6.0  # mm, from a diamond to the middle of its hour
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
    plan = PrintedPlan(design.layout_of(sun.patio), cells, (), corner, wide + 2.0, tall)
    items += plan.items(sun.maps[0].lit < 0.0, sun.inside, ())
    places = []
    for moment in sun.maps:
        away, turn = ring * (1.0 - 2.0 * moment.height / pi), moment.toward + pi
        places.append((middle[0] + away * cos(turn), middle[1] + away * sin(turn)))
    items.append(Polyline(tuple(places), layer="NOTE", pen=THIN))
    for at in places:
        items += _diamond(at)
    for n, other in ((0, -1), (-1, 0)):  # those between would stand on each other
        (x, y), (u, v) = places[n], places[other]
        off = ASIDE / max(dist((x, y), (u, v)), 0.1)
        clock = locale.number(sun.maps[n].clock, "clock")
        at = x + (x - u) * off, y + (y - v) * off - 1.0
        items.append(Text(at, clock, 2.5, True, align="middle", layer="NOTE"))
    told = [text_and_tables.heading(locale.label("sun.path"), 2.5, rule=False)]
    told += [Paragraph(locale.label("sun.path_meant"), before=1.2)]
    beside = Box(room.left + side + 6.0, room.top - side, room.right, room.top)
    return [*items, *text_and_tables.flow_text(told, [beside]).items]


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
