"""Boxes for what can hurt someone: the word of its grade beside the warning triangle, then what to do.

Frame and triangle are of the heaviest line. All words come from the caller.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mistcalc.drawing import fonts, symbols
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import HEAVY, Item, Polyline
from mistcalc.drawing.text_and_tables import Flowed, Paragraph, depth, level, split

WORD = 5.0  # capitals of the word [mm]
INDENT = 10.0  # of the word, holding the triangle
PAD, COLUMN, GUTTER, BETWEEN = 3.0, 75.0, 6.0, 2.5
BESIDE = 75.0  # sentences so wide may stand right of the word: where the box is then no taller
DEEPEST = 400.0  # more than any sheet is high


@dataclass(frozen=True)
class Alert:
    """One box: its word ("DANGER"), and sentences."""

    word: str
    told: tuple[Paragraph, ...]


def head(word: str, size: float = WORD) -> Paragraph:
    """The word with its triangle, for a box or a part of a strip."""
    indent = INDENT * size / WORD
    return Paragraph(
        word, size, bold=True, sign=lambda at: symbols.alert(at, 1.2 * size), indent=indent, keep=1
    )


def draw(
    alerts: Sequence[Alert], room: Box, size: float = WORD, to: float | None = None
) -> tuple[list[Item], float]:
    """Boxes under each other from the top of a room down; returns where they end. to: the last reaches down
    so far at least."""
    items: list[Item] = []
    y = room.top
    for alert in alerts:
        drawn, bottom = _box(alert, room._replace(top=y), size, to if alert is alerts[-1] else None)
        items += drawn
        y = bottom - BETWEEN
    return items, y + BETWEEN if alerts else y


def frame(box: Box) -> Polyline:
    corners = ((box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top))
    return Polyline(corners, True, layer="NOTE", pen=HEAVY)


def _box(alert: Alert, room: Box, size: float, to: float | None) -> tuple[list[Item], float]:
    pad = PAD * min(1.0, size / WORD)
    inner = room.grown(-pad)
    word = head(alert.word, size)
    wide = fonts.width(alert.word, size, True) + word.indent + GUTTER
    low = inner.top - depth(word, inner.width)
    first = level([word], [inner._replace(right=inner.left + wide, bottom=low - 1.0)], "WARN")
    beside, below = inner._replace(left=inner.left + wide), inner._replace(top=low - 1.0)
    tries = [beside, below] if beside.width >= BESIDE else [below]
    flowed = max((_told(alert, spot) for spot in tries), key=lambda one: one.bottom)
    bottom = min(flowed.bottom, low, *([] if to is None else [to + pad])) - pad
    return [frame(room._replace(bottom=bottom)), *first.items, *flowed.items], bottom


def _told(alert: Alert, spot: Box) -> Flowed:
    """The sentences in columns, no more of them than sentences."""
    column = max(COLUMN, spot.width / len(alert.told) - GUTTER)
    return level(alert.told, split(spot._replace(bottom=spot.top - DEEPEST), column, GUTTER), "WARN")
