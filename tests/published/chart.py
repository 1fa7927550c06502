"""The picture of a source: how far each of our figures lies from theirs, and curves where there are any.

Drawn with the program's own sheet and SVG writer, so the same figures give the same bytes.
"""

from __future__ import annotations

import numpy as np

from mistcalc.drawing import svg
from mistcalc.drawing.fonts import fit
from mistcalc.drawing.sheet import BLACK, Circle, Item, LineSegment, Pen, Polyline, Sheet, Text
from tests.published.cases import Case, short

WIDTH, MARGIN, ROW, LETTER = 190.0, 6.0, 5.0, 2.0
NAMES = 92.0  # room for the names of the cases, left of the ruler
OURS, THEIRS, BAND = "#0b5e8a", "#b5450b", "#e3ebf0"
CURVE = 62.0  # height of one curve with its axes
MOST = 60  # rows of one ruler; the table beside it holds all


def picture(title: str, cases: list[Case]) -> str:
    """SVG: a ruler with a dot a case, then every case that runs along an axis as a curve."""
    curves = [case for case in cases if case.x is not None and case.theirs is not None]
    ruled = cases[:MOST]
    height = 2 * MARGIN + 3 * ROW + ROW * len(ruled) + CURVE * len(curves)
    items = _ruler(ruled, height - MARGIN, more=len(cases) - len(ruled))
    top = height - MARGIN - 3 * ROW - ROW * len(ruled)
    for case in curves:
        items += _curve(case, top)
        top -= CURVE
    return svg.write(Sheet(WIDTH, height, tuple(items), title), embed=False)


def _ruler(cases: list[Case], top: float, more: int) -> list[Item]:
    left, right = NAMES + MARGIN, WIDTH - MARGIN - 8
    middle, half = (left + right) / 2, (right - left) / 2 / 1.15
    bottom = top - 2 * ROW - ROW * len(cases)
    low, high = middle - half, middle + half
    band = ((low, top - 1.6 * ROW), (high, top - 1.6 * ROW), (high, bottom), (low, bottom))
    items: list[Item] = [
        Polyline(band, True, BAND, pen=Pen(0)),
        LineSegment((middle, top - 1.6 * ROW), (middle, bottom), pen=Pen(0.35, ink=THEIRS)),
        Text((middle, top - ROW), "theirs", LETTER, align="middle", pen=Pen(ink=THEIRS)),
        Text((low, top - ROW), "limit", LETTER, align="middle"),
        Text((high, top - ROW), "limit", LETTER, align="middle"),
    ]
    for n, case in enumerate(cases):
        y = top - (2.2 + n) * ROW
        share = np.clip(case.share.ravel(), -1.1, 1.1)
        items.append(Text((MARGIN, y - LETTER / 2), fit(case.what, LETTER, NAMES - 4), LETTER))
        if share.size > 1:
            ends = [(middle + half * v, y) for v in (share.min(), share.max())]
            items.append(LineSegment(*ends, pen=Pen(1.0, ink=OURS)))
        dot = middle + half * float(share[case.worst])
        items.append(Circle((dot, y), 0.9, fill=OURS, pen=Pen(0)))
    if more:
        items.append(Text((MARGIN, bottom - 0.6 * ROW), f"and {more} more in the table", LETTER))
    return items


def _curve(case: Case, top: float) -> list[Item]:
    """Theirs as rings with the room they leave, ours as a line through dots."""
    assert case.x is not None and case.theirs is not None
    box = (26.0, WIDTH - 60.0, top - CURVE + 13.0, top - 9.0)
    order = np.argsort(case.x)
    x, ours, theirs = case.x[order], case.ours[order], case.theirs[order]
    low, high = case.low[order], case.high[order]
    at_x, at_y = _scale(x, box[0], box[1]), _scale(np.concatenate([ours, low, high]), box[2], box[3])
    place = [(at_x(a), at_y(b)) for a, b in zip(x, ours, strict=True)]
    items: list[Item] = [
        Text((MARGIN, top - 5), f"{case.what}, {case.unit}", 2.3, bold=True),
        LineSegment((box[0], box[2]), (box[1], box[2])),
        LineSegment((box[0], box[2]), (box[0], box[3])),
        Text((box[1], box[2] - 8), case.axis, LETTER, align="right"),
        Polyline(tuple(place), pen=Pen(0.35, ink=OURS)),
    ]
    for value in _ticks(x):
        items.append(Text((at_x(value), box[2] - 4), short(value), LETTER, align="middle"))
        items.append(LineSegment((at_x(value), box[2]), (at_x(value), box[2] - 1)))
    for value in _ticks(np.concatenate([ours, low, high])):
        items.append(Text((box[0] - 2, at_y(value) - 1), short(value), LETTER, align="right"))
        items.append(LineSegment((box[0], at_y(value)), (box[0] - 1, at_y(value))))
    for a, b, down, up, spot in zip(x, theirs, low, high, place, strict=True):
        items.append(LineSegment((at_x(a), at_y(down)), (at_x(a), at_y(up)), pen=Pen(0.25, ink=THEIRS)))
        items.append(Circle((at_x(a), at_y(b)), 1.1, pen=Pen(0.35, ink=THEIRS)))
        items.append(Circle(spot, 0.7, fill=OURS, pen=Pen(0)))
    side = box[1] + 6
    items += [
        Circle((side, box[3] - 2), 1.1, pen=Pen(0.35, ink=THEIRS)),
        Text((side + 3, box[3] - 3), "theirs and tolerance", LETTER, pen=Pen(ink=BLACK)),
        Circle((side, box[3] - 7), 0.7, fill=OURS, pen=Pen(0)),
        Text((side + 3, box[3] - 8), "ours", LETTER),
    ]
    return items


def _scale(values, start: float, end: float):
    low, high = float(np.min(values)), float(np.max(values))
    room = high - low or 1.0
    return lambda v: start + 2 + (end - start - 4) * (float(v) - low) / room


def _ticks(values) -> list[float]:
    """Up to six round values inside the data."""
    low, high = float(np.min(values)), float(np.max(values))
    rough = (high - low) / 5 or 1.0
    power = 10.0 ** np.floor(np.log10(rough))
    step = next(power * m for m in (1, 2, 2.5, 5, 10) if power * m >= rough * (1 - 1e-9))
    return [float(step * k) for k in range(int(np.ceil(low / step - 1e-9)), int(high / step + 1e-9) + 1)]
