"""What collides on a sheet, counted on its model as it is painted: writing over or against other writing,
through a line that no mask cuts, over a mark, past the paper's edge, too small to read.

A line under a shape filled afterwards, or cut by a mask, does not show. Tolerances are those of
paper: 0.2 mm between two texts of a line is less than between two letters; a line that grazes a letter by
under 0.3 mm is its serif.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin

import numpy as np

from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.line_geometry import Segment, clip
from mistcalc.drawing.sheet import Arc, Circle, LineSegment, Polyline, Sheet, Simple, Text

LEAST, APART, GRAZE, EDGE = 2.5, 0.2, 0.3, 5.0  # height of capitals, gap, graze, margin [mm]
FILL_SHORT = 1.2  # a sign's fill may end so far inside the box round its letter's room [mm]


def collisions(sheet: Sheet) -> list[str]:
    texts = [item for item in sheet.primitives() if isinstance(item, Text) and item.text.strip()]
    boxes = np.array([text.box() for text in texts], dtype=float).reshape(-1, 4)
    found = [*_small_or_outside(sheet, texts), *_against(texts, boxes), *_struck(sheet, texts, boxes)]
    return [f"{sheet.number} {one}" for one in dict.fromkeys(found)]


def apart(one: Sequence[Point], other: Sequence[Point]) -> float:
    """How far two convex outlines stand apart across one of their sides, below zero where they meet [mm]."""
    gaps = []
    for a, b in (side for each in (one, other) for side in pairwise((*each, each[0]))):
        size = hypot(b[0] - a[0], b[1] - a[1])
        across = ((a[1] - b[1]) / size, (b[0] - a[0]) / size)
        (low, high), (other_low, other_high) = (
            (min(told), max(told))
            for told in ([x * across[0] + y * across[1] for x, y in each] for each in (one, other))
        )
        gaps.append(max(other_low - high, low - other_high))
    return max(gaps) + 1e-6


def _small_or_outside(sheet: Sheet, texts: list[Text]) -> Iterator[str]:
    inside = Box(EDGE, EDGE, sheet.width - EDGE, sheet.height - EDGE)
    for text in texts:
        if text.height < LEAST - 1e-9:
            yield f"small: {text.text}"
        if not inside.holds(text.box()):
            yield f"past the edge: {text.text}"


def _against(texts: list[Text], boxes: np.ndarray) -> Iterator[str]:
    for n, box in enumerate(boxes):
        rest = boxes[n + 1 :]
        beside = np.maximum(rest[:, 0] - box[2], box[0] - rest[:, 2])
        above = np.maximum(rest[:, 1] - box[3], box[1] - rest[:, 3])
        over = (beside < -1e-6) & (above < -1e-6)
        touching = (beside < APART) & (above < -0.3)
        for m in np.nonzero(over | touching)[0]:
            other = texts[n + 1 + m]
            if not (texts[n].turn % 90 or other.turn % 90) or apart(texts[n].corners(), other.corners()) < 0:
                yield f"over: {texts[n].text} | {other.text}"


def _struck(sheet: Sheet, texts: list[Text], boxes: np.ndarray) -> Iterator[str]:
    """Writing that a line runs through, or that stands on a mark."""
    painted = list(sheet.painted())
    masks = [n for n, (what, _) in enumerate(painted) if what == "mask"]
    lines = [(n, item) for n, (what, item) in enumerate(painted) if what == "draw"]
    fills = [(n, item.box()) for n, item in lines if getattr(item, "fill", None)]
    hidden = [max((n for n, box in fills if _covers(box, text.box())), default=-1) for text in texts]
    for n, item in lines:
        if isinstance(item, Text):
            continue
        below_masks = bool(masks) and n < masks[0]
        for a, b in _strokes(item):
            low, high = np.minimum(a, b) - 0.1, np.maximum(a, b) + 0.1
            near = (boxes[:, :2] < high).all(axis=1) & (boxes[:, 2:] > low).all(axis=1)
            for m in np.nonzero(near)[0]:
                cut = texts[m].mask and below_masks
                if not cut and hidden[m] < n and _inside(a, b, texts[m]) > GRAZE:
                    yield f"struck by {item.layer}: {texts[m].text}"
        if isinstance(item, Circle) and item.layer == "MARK":
            mark = item.box().grown(-0.05)
            yield from (
                f"on a mark: {text.text}" for text in texts if apart(mark.corners, text.corners()) < 0
            )


def _covers(fill: Box, text: Box) -> bool:
    return fill.grown(FILL_SHORT).holds(text)


def _inside(a: tuple[float, float], b: tuple[float, float], text: Text) -> float:
    """How much of a line lies between a text's baseline and the tops of its capitals [mm]."""
    c, s = cos(radians(text.turn)), sin(radians(text.turn))
    x, y = text.start
    flat = [((u - x) * c + (v - y) * s, (v - y) * c - (u - x) * s) for u, v in (a, b)]
    part = clip((flat[0], flat[1]), Box(0.15, 0.1, max(text.width - 0.15, 0.2), text.height - 0.1))
    return 0.0 if part is None else hypot(part[1][0] - part[0][0], part[1][1] - part[0][1])


def _strokes(item: Simple) -> list[Segment]:
    """Its visible lines, round ones in chords."""
    if isinstance(item, LineSegment):
        return [(item.start, item.end)]
    if isinstance(item, Polyline):
        ring = [*item.points, *(item.points[:1] if item.closed else ())]
        return [*(pairwise(ring) if item.pen.width > 0 else ()), *item.hatch_lines()]
    if isinstance(item, Arc | Circle) and item.pen.width > 0:
        first, last = (item.first, item.last) if isinstance(item, Arc) else (0.0, 360.0)
        last += 360.0 if last <= first else 0.0
        turns = [radians(first + (last - first) * n / 24) for n in range(25)]
        x, y = item.center
        return list(pairwise((x + item.radius * cos(t), y + item.radius * sin(t)) for t in turns))
    return []
