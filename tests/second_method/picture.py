"""The picture of the page: every case's range of ours, and the other method's figure on it."""

from __future__ import annotations

from mistcalc.drawing import svg
from mistcalc.drawing.sheet import Circle, Item, LineSegment, Pen, Polyline, Sheet, Text
from tests.second_method.compare import Row

WIDTH, MARGIN, ROW, LETTER = 190.0, 6.0, 4.4, 2.0
NAMES = 62.0  # mm, left of the axis
MOST = 16.0  # K, end of the axis
OURS, THEIRS, BAND = "#0b5e8a", "#b5450b", "#cfdfe8"


def picture(title: str, rows: list[Row]) -> str:
    height = 2 * MARGIN + ROW * (len(rows) + 4)
    line = height - MARGIN - ROW
    ours, theirs = "band: ours, 10 to 90 %; bar: middle", "ring: computed by another method, not measured"
    items: list[Item] = [
        Text((MARGIN, height - MARGIN), title, LETTER * 1.3),
        Text((NAMES, line), ours, LETTER, pen=Pen(ink=OURS)),
        Text((NAMES + 54, line), theirs, LETTER, pen=Pen(ink=THEIRS)),
    ]
    top = height - MARGIN - 2 * ROW
    bottom = top - ROW * len(rows)
    for kelvin in range(0, int(MOST) + 1, 2):
        at = _at(kelvin)
        items.append(LineSegment((at, top), (at, bottom), pen=Pen(0.1, ink="#999999")))
        items.append(Text((at, bottom - ROW * 0.8), f"{kelvin} K", LETTER, align="middle"))
    for n, row in enumerate(rows):
        y = top - (n + 0.5) * ROW
        low, middle, high = (_at(kelvin) for kelvin in row.ours)
        box = ((low, y - 1.2), (high, y - 1.2), (high, y + 1.2), (low, y + 1.2))
        items += [
            Text((MARGIN, y - LETTER / 2), row.case.name, LETTER),
            Polyline(box, True, BAND, pen=Pen(0)),
            LineSegment((middle, y - 1.2), (middle, y + 1.2), pen=Pen(0.6, ink=OURS)),
            Circle((_at(row.theirs), y), 1.0, pen=Pen(0.5, ink=THEIRS)),
        ]
    return svg.write(Sheet(WIDTH, height, tuple(items), title), embed=False)


def _at(kelvin: float) -> float:
    return NAMES + (WIDTH - MARGIN - NAMES) * kelvin / MOST
